package document

// PlanRequest asks for a day's work: a recipe made larger or smaller, and what to buy and do. Times are local times as
// written (RFC 3339 without or with an offset, which is carried along); nothing reads a clock.
type PlanRequest struct {
	Recipe     Recipe         `json:"recipe"`
	Kitchen    *Kitchen       `json:"kitchen,omitempty"`
	Assume     *Assume        `json:"assume,omitempty"`
	Target     Target         `json:"target"`
	Start      string         `json:"start,omitempty"`  // when the work begins
	Finish     string         `json:"finish,omitempty"` // when the last jars are out of the canner
	Canner     *Canner        `json:"canner,omitempty"`
	Extensions map[string]any `json:"extensions,omitempty"` // never read
}

// Request is the question whether the recipe of the plan is fit.
func (p *PlanRequest) Request() Request {
	return Request{Recipe: p.Recipe, Kitchen: p.Kitchen, Assume: p.Assume}
}

// Target says how much is to be made, in exactly one way.
type Target struct {
	Factor  *float64  `json:"factor,omitempty"`  // so many times the recipe
	Jars    *JarsGoal `json:"jars,omitempty"`    // so many jars
	Produce *Produce  `json:"produce,omitempty"` // what the produce at hand allows
	Vinegar *Quantity `json:"vinegar,omitempty"` // what the vinegar at hand allows
	Volume  *Quantity `json:"volume,omitempty"`  // so much in all, jars and contents
}

// JarsGoal is a number of jars, of another size where Jar is given.
type JarsGoal struct {
	Count float64 `json:"count"`
	Jar   *Jar    `json:"jar,omitempty"`
}

// Produce is a food at hand. Item may be left out where the recipe has one main food.
type Produce struct {
	Item   string   `json:"item,omitempty"`
	Amount Quantity `json:"amount"`
}

// Canner is the pot at hand.
type Canner struct {
	JarsPerLoad *float64  `json:"jars_per_load,omitempty"`
	Diameter    *Quantity `json:"diameter,omitempty"` // inside
}

// CardRequest asks for a card to publish.
type CardRequest struct {
	Recipe      Recipe         `json:"recipe"`
	Kitchen     *Kitchen       `json:"kitchen,omitempty"`
	Assume      *Assume        `json:"assume,omitempty"`
	Publication *Publication   `json:"publication,omitempty"`
	Extensions  map[string]any `json:"extensions,omitempty"` // never read
}

// Request is the question whether the recipe of the card is fit.
func (c *CardRequest) Request() Request {
	return Request{Recipe: c.Recipe, Kitchen: c.Kitchen, Assume: c.Assume}
}

// Publication is what a page about a recipe says beyond the recipe itself.
type Publication struct {
	Author      string `json:"author,omitempty"`
	Published   string `json:"published,omitempty"` // RFC 3339 full-date
	Description string `json:"description,omitempty"`
	Image       string `json:"image,omitempty"` // address of a picture
	URL         string `json:"url,omitempty"`   // address of the page
}
