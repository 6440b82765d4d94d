package handlers

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"jarwright/examples"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

const mediaForm = "application/x-www-form-urlencoded"

// maxFormBytes leaves room for a pasted document of the greatest length, percent-encoded, and the form around it.
const maxFormBytes = 4 * ingest.MaxBytes

// Rows of the form: how many an empty one has, how many are added at a time without a script, and how many are read.
const (
	emptyRows = 4
	moreRows  = 2
	maxRows   = 200
)

// formView is the form as it is shown: texts, as they were typed.
type formView struct {
	Name, Kind, Keep, Jar, Jars, Pack, Preparation, Method, Time string
	Headspace, HeadspaceUnit                                     string
	Water, WaterUnit                                             string
	Elevation, ElevationUnit                                     string
	OwnJar                                                       bool // a jar by its own measures, which the form only keeps
	Rows                                                         []rowView
}

// rowView is one ingredient of the form. From is the line of the source document that it came from; what the form has no
// field for is kept from there.
type rowView struct {
	Index                         int
	From                          string
	Item, Amount, Unit, Per, Form string
	Acidity, Salt                 string
	Bottled, Drained              bool
}

// Number counts from one, as people do.
func (r rowView) Number() int { return r.Index + 1 }

// Says is what stands behind “More”, in a few words.
func (r rowView) Says() string {
	var parts []string
	if r.Acidity != "" {
		parts = append(parts, r.Acidity+" %")
	}
	if r.Salt != "" {
		parts = append(parts, strings.ReplaceAll(r.Salt, "_", " ")+" salt")
	}
	if r.Bottled {
		parts = append(parts, "bottled")
	}
	if r.Drained {
		parts = append(parts, "poured away")
	}
	return strings.Join(parts, ", ")
}

// homeView is what the page at / shows.
type homeView struct {
	reportView
	Form     formView
	Source   string // the request document as JSON
	Mistakes []string
	Example  string
	Pasted   string
	Examples []examples.Example
	Jars     []catalog.Jar
	Units    []measure.Unit
	Items    []string
	BaseURL  string
}

// bench is what the form needs from outside. It is read-only.
type bench struct {
	examples []examples.Example
	jars     []catalog.Jar
	units    []measure.Unit
	items    []string
	baseURL  string
}

func newBench(catalog Catalog, baseURL string) (bench, error) {
	all, err := examples.All()
	if err != nil {
		return bench{}, err
	}
	b := bench{examples: all, jars: catalog.Jars, baseURL: baseURL}
	for _, unit := range catalog.Units {
		switch unit.Dimension {
		case measure.DimensionMass, measure.DimensionVolume, measure.DimensionCount, measure.DimensionUnmeasured:
			b.units = append(b.units, unit)
		}
	}
	for _, item := range catalog.Items {
		b.items = append(b.items, item.Name)
	}
	return b, nil
}

func (b *bench) view() homeView {
	return homeView{Examples: b.examples, Jars: b.jars, Units: b.units, Items: b.items, BaseURL: b.baseURL}
}

func emptyForm() formView {
	form := formView{HeadspaceUnit: "in", WaterUnit: "in", ElevationUnit: "ft", Keep: document.KeepShelf, Method: document.MethodBoilingWater}
	form.addRows(emptyRows)
	return form
}

func (f *formView) addRows(count int) {
	for range count {
		f.Rows = append(f.Rows, rowView{Index: len(f.Rows), Unit: "cup", Per: document.PerBatch})
	}
}

// getIndex lists the operations and links to the contract (RFC 8631); for people it is the page with the form.
func (s *surface) getIndex(c echo.Context) error {
	s.linkContract(c)
	offers := []string{mediaJSON, mediaHTML}
	chosen, ok := negotiate(c.Request().Header.Values(echo.HeaderAccept), offers)
	switch {
	case !ok:
		_, err := negotiated(c, offers...)
		return err
	case chosen == mediaHTML:
		return s.home.serve(c)
	}
	return s.index.serve(c)
}

// postForm answers the buttons of the page. Whatever was typed comes back with the answer.
func (s *surface) postForm(c echo.Context) error {
	fields, err := readForm(c)
	if err != nil {
		return err
	}
	if _, err := negotiated(c, mediaHTML, mediaJSON); err != nil {
		return err
	}
	view := s.bench.view()
	switch action := fields.Get("do"); action {
	case "example":
		i := slices.IndexFunc(view.Examples, func(e examples.Example) bool { return e.Name == fields.Get("example") })
		if i < 0 {
			view.Form, view.Mistakes = emptyForm(), []string{"There is no such example."}
			return s.sendHome(c, &view)
		}
		view.Example = view.Examples[i].Name
		s.judge(&view, view.Examples[i].Text)
	case "paste":
		view.Pasted = fields.Get("json")
		s.judge(&view, []byte(view.Pasted))
		if view.Report != nil {
			view.Pasted = ""
		}
	default:
		return s.postRecipe(c, &view, fields, action)
	}
	return s.sendHome(c, &view)
}

// postRecipe answers the buttons of the form itself.
func (s *surface) postRecipe(c echo.Context, view *homeView, fields url.Values, action string) error {
	request, form, mistakes := readRecipe(fields)
	view.Form, view.Mistakes = form, mistakes
	body, err := encodeJSON(request)
	if err != nil {
		return err
	}
	view.Source = string(body)
	if action == "add" {
		view.Form.addRows(moreRows)
		return s.sendHome(c, view)
	}
	if len(mistakes) > 0 {
		return s.sendHome(c, view)
	}
	switch action {
	case "download":
		c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="recipe.json"`)
		var indented bytes.Buffer
		if err := json.Indent(&indented, body, "", "  "); err != nil {
			return fmt.Errorf("indent request: %w", err)
		}
		return writePrivate(c, mediaJSON, indented.Bytes())
	case "card":
		made, problem := s.workshop.Card(body)
		if problem == nil {
			var page bytes.Buffer
			if err := s.pages.writeCardHTML(&page, &made); err != nil {
				return err
			}
			return writePrivate(c, mediaHTML, page.Bytes())
		}
	}
	s.judge(view, body)
	return s.sendHome(c, view)
}

func (s *surface) sendHome(c echo.Context, view *homeView) error {
	var page bytes.Buffer
	if err := s.pages.render(&page, "home", view); err != nil {
		return err
	}
	return writePrivate(c, mediaHTML, page.Bytes())
}

// judge puts the report on a document into the view, or what keeps it from being one. The form is filled from a document
// that could be read, and left as it is otherwise.
func (s *surface) judge(view *homeView, body []byte) {
	judged, problem := s.reporter.Illustrate(body, report.Options{})
	if problem != nil {
		view.Mistakes = mistakesOf(problem)
		if len(view.Form.Rows) == 0 {
			view.Form = emptyForm()
		}
		return
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, body, "", "  "); err == nil {
		view.Source = strings.TrimSpace(indented.String())
	}
	if len(view.Form.Rows) == 0 {
		view.Form = formOf(&judged.Request)
	}
	view.Report, view.Kicker, view.Pictures = &judged.Report, judged.Request.Recipe.Name, judged.Pictures
	if view.Kicker == "" {
		view.Kicker = "The report"
	}
}

// mistakesOf words a problem for the page.
func mistakesOf(problem *ingest.Problem) []string {
	var list []string
	for _, e := range problem.Errors {
		place := report.Finding{At: e.Pointer}.Place()
		if place != "" {
			place = strings.ToUpper(place[:1]) + place[1:] + ": "
		}
		list = append(list, place+e.Detail)
	}
	return list
}

// readForm reads a body of form fields.
func readForm(c echo.Context) (url.Values, error) {
	request := c.Request()
	given := request.Header.Get(echo.HeaderContentType)
	mediaType, _, err := mime.ParseMediaType(given)
	if err != nil && !errors.Is(err, mime.ErrInvalidMediaParameter) || mediaType != mediaForm {
		return nil, unsupported(echo.HeaderContentType, given, []string{mediaForm}, []string{mediaForm})
	}
	body, err := readWhole(c, maxFormBytes)
	if err != nil {
		return nil, err
	}
	fields, err := url.ParseQuery(string(body))
	if err != nil {
		return nil, &failure{kind: kindMalformed, detail: "The form fields are not well formed."}
	}
	return fields, nil
}

// reader turns fields into a request and collects what cannot be read.
type formReader struct {
	fields   url.Values
	mistakes []string
}

func (r *formReader) text(name string) string {
	return strings.ToValidUTF8(strings.TrimSpace(r.fields.Get(name)), "\uFFFD")
}

// number reads a field as people write numbers: 1.5, 1,5, 1/2, 1 1/2. It is nil for an empty field.
func (r *formReader) number(name, words string) *float64 {
	written := r.text(name)
	if written == "" {
		return nil
	}
	total := 0.0
	for _, part := range strings.Fields(strings.ReplaceAll(written, ",", ".")) {
		value, ok := readPart(part)
		if !ok {
			r.mistakes = append(r.mistakes, fmt.Sprintf("%s: “%s” is not a number. Write 1.5, 1/2 or 1 1/2.", words, shortened(written)))
			return nil
		}
		total += value
	}
	return &total
}

// glyphs are the fractions that have a sign of their own.
var glyphs = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8")

func readPart(part string) (float64, bool) {
	if spelt := strings.Fields(glyphs.Replace(part)); len(spelt) > 1 || len(spelt) == 1 && spelt[0] != part {
		total := 0.0
		for _, each := range spelt {
			value, ok := readPart(each)
			if !ok {
				return 0, false
			}
			total += value
		}
		return total, true
	}
	numerator, denominator, isFraction := strings.Cut(part, "/")
	value, err := strconv.ParseFloat(numerator, 64)
	if err != nil {
		return 0, false
	}
	if isFraction {
		divisor, err := strconv.ParseFloat(denominator, 64)
		if err != nil || divisor == 0 {
			return 0, false
		}
		value /= divisor
	}
	return value, true
}

func (r *formReader) quantity(name, unit, words string) *document.Quantity {
	value := r.number(name, words)
	if value == nil {
		return nil
	}
	return &document.Quantity{Value: value, Unit: unit}
}

// readRecipe builds a request from the fields, on top of the document that the form was filled from, and gives back the
// form as it was typed.
func readRecipe(fields url.Values) (document.Request, formView, []string) {
	r := &formReader{fields: fields}
	var request document.Request
	if err := json.Unmarshal([]byte(fields.Get("source")), &request); err != nil {
		request = document.Request{}
	}
	form := formView{
		Name: r.text("name"), Kind: r.text("kind"), Keep: r.text("keep"), Jar: r.text("jar"), Jars: r.text("jars"), Pack: r.text("pack"),
		Preparation: r.text("preparation"), Method: r.text("method"), Time: r.text("time"),
		Headspace: r.text("headspace"), HeadspaceUnit: r.text("headspace-unit"), Water: r.text("water"), WaterUnit: r.text("water-unit"),
		Elevation: r.text("elevation"), ElevationUnit: r.text("elevation-unit"),
	}
	recipe := &request.Recipe
	recipe.Name, recipe.Kind, recipe.Keep, recipe.Pack, recipe.JarPreparation = form.Name, form.Kind, form.Keep, form.Pack, form.Preparation
	switch form.Jar {
	case "":
		recipe.Jar = nil
	case "own":
		form.OwnJar = recipe.Jar != nil && recipe.Jar.ID == ""
	default:
		recipe.Jar = &document.Jar{ID: form.Jar}
	}
	recipe.Jars = r.number("jars", "Jars")
	recipe.Headspace = r.quantity("headspace", form.HeadspaceUnit, "Headspace")
	r.process(recipe, &form)
	request.Kitchen = nil
	if elevation := r.quantity("elevation", form.ElevationUnit, "Elevation of the kitchen"); elevation != nil {
		request.Kitchen = &document.Kitchen{Elevation: elevation}
	}
	before := recipe.Ingredients
	recipe.Ingredients = []document.Ingredient{}
	count, err := strconv.Atoi(fields.Get("rows"))
	if err != nil || count < 0 {
		count = 0
	}
	for index := range min(count, maxRows) {
		row := r.row(index)
		form.Rows = append(form.Rows, row)
		if row.Item != "" {
			recipe.Ingredients = append(recipe.Ingredients, r.ingredient(&row, before))
			form.Rows[index].From = strconv.Itoa(len(recipe.Ingredients) - 1)
		}
	}
	if len(form.Rows) == 0 {
		form.addRows(emptyRows)
	}
	return request, form, r.mistakes
}

func (r *formReader) process(recipe *document.Recipe, form *formView) {
	process := document.Process{}
	if recipe.Process != nil {
		process = *recipe.Process
	}
	process.Method = form.Method
	process.Time = r.quantity("time", "min", "Minutes")
	process.WaterOverLids = r.quantity("water", form.WaterUnit, "Water over the lids")
	recipe.Process = &process
	if process == (document.Process{}) {
		recipe.Process = nil
	}
}

func (r *formReader) row(index int) rowView {
	at := func(name string) string { return r.text(name + "-" + strconv.Itoa(index)) }
	return rowView{
		Index: index, From: at("from"), Item: at("item"), Amount: at("amount"), Unit: at("unit"), Per: at("per"), Form: at("form"),
		Acidity: at("acidity"), Salt: at("salt"), Bottled: at("bottled") != "", Drained: at("drained") != "",
	}
}

func (r *formReader) ingredient(row *rowView, before []document.Ingredient) document.Ingredient {
	words := fmt.Sprintf("Ingredient %d", row.Number())
	at := func(name string) string { return name + "-" + strconv.Itoa(row.Index) }
	in := document.Ingredient{}
	if from, err := strconv.Atoi(row.From); err == nil && from >= 0 && from < len(before) {
		in = before[from]
	}
	was := in.Bottled
	in.Item, in.Form, in.Per, in.SaltKind = row.Item, row.Form, row.Per, row.Salt
	in.AcidityPercent = r.number(at("acidity"), words+", acidity")
	in.Amount, in.Bottled, in.Drained = nil, nil, nil
	switch row.Unit {
	case measure.CodeToCover, measure.CodeAsNeeded:
		in.Amount = &document.Quantity{Unit: row.Unit}
	default:
		in.Amount = r.quantity(at("amount"), row.Unit, words+", amount")
	}
	switch {
	case row.Bottled:
		in.Bottled = new(true)
	case was != nil && !*was:
		in.Bottled = was
	}
	if row.Drained {
		in.Drained = new(true)
	}
	return in
}

// formOf fills the form from a document.
func formOf(request *document.Request) formView {
	recipe := &request.Recipe
	form := emptyForm()
	form.Rows = nil
	form.Name, form.Kind, form.Keep, form.Pack, form.Preparation = recipe.Name, recipe.Kind, recipe.Keep, recipe.Pack, recipe.JarPreparation
	form.Method = ""
	if recipe.Jar != nil {
		form.Jar, form.OwnJar = recipe.Jar.ID, recipe.Jar.ID == ""
	}
	if recipe.Jars != nil {
		form.Jars = measure.FormatNumber(*recipe.Jars)
	}
	show := func(q *document.Quantity, value, unit *string) {
		if q != nil && q.Value != nil {
			*value, *unit = shown(*q.Value), q.Unit
		}
	}
	show(recipe.Headspace, &form.Headspace, &form.HeadspaceUnit)
	if p := recipe.Process; p != nil {
		form.Method = p.Method
		unit := "min"
		show(p.Time, &form.Time, &unit)
		if p.Time != nil && p.Time.Value != nil && unit != "min" {
			form.Time = "" // another unit than minutes; the form cannot show it
			if unit == "h" {
				form.Time = shown(*p.Time.Value * 60)
			}
		}
		show(p.WaterOverLids, &form.Water, &form.WaterUnit)
	}
	if k := request.Kitchen; k != nil {
		show(k.Elevation, &form.Elevation, &form.ElevationUnit)
	}
	for i := range recipe.Ingredients {
		in := &recipe.Ingredients[i]
		row := rowView{
			Index: i, From: strconv.Itoa(i), Item: in.Item, Per: in.Per, Form: in.Form, Salt: in.SaltKind, Unit: "cup",
			Bottled: in.Bottled != nil && *in.Bottled, Drained: in.Drained != nil && *in.Drained,
		}
		if in.Amount != nil {
			row.Unit = in.Amount.Unit
			show(in.Amount, &row.Amount, &row.Unit)
		}
		if in.AcidityPercent != nil {
			row.Acidity = measure.FormatNumber(*in.AcidityPercent)
		}
		form.Rows = append(form.Rows, row)
	}
	return form
}

// shown writes a number so that reading it back gives the same, with fractions where they are exact.
func shown(value float64) string {
	text := measure.FormatFraction(value)
	total, ok := 0.0, true
	for _, part := range strings.Fields(text) {
		read, fine := readPart(part)
		total, ok = total+read, ok && fine
	}
	if ok && total == value {
		return text
	}
	return strconv.FormatFloat(value, 'f', -1, 64)
}
