package handlers

import (
	"bytes"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"jarwright/examples"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
	"jarwright/validate/report"

	"github.com/go-json-experiment/json/jsontext"
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

// Summary is what stands behind “More”, in a few words.
func (r rowView) Summary() string {
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
	Form        formView
	Source      string // the request document as JSON
	Mistakes    []string
	Example     string
	Pasted      string
	Examples    []examples.Example
	Jars        []catalog.Jar
	UnitOptions choices
	Items       []string
	BaseURL     string
}

// formOptions are what can be chosen in the form. They are read-only.
type formOptions struct {
	examples []examples.Example
	jars     []catalog.Jar
	units    choices
	items    []string
	baseURL  string
}

func newFormOptions(catalog Catalog, baseURL string) (formOptions, error) {
	all, err := examples.All()
	if err != nil {
		return formOptions{}, err
	}
	b := formOptions{examples: all, jars: catalog.Jars, baseURL: baseURL}
	for _, unit := range catalog.Units {
		switch unit.Dimension {
		case measure.DimensionMass, measure.DimensionVolume, measure.DimensionCount, measure.DimensionPart, measure.DimensionUnmeasured:
			b.units.add(unit.Code, unitWords(unit))
		}
	}
	for _, item := range catalog.Items {
		b.items = append(b.items, item.Name)
	}
	return b, nil
}

func (b *formOptions) view() homeView {
	return homeView{Examples: b.examples, Jars: b.jars, UnitOptions: b.units, Items: b.items, BaseURL: b.baseURL}
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
func (s *Server) getIndex(c echo.Context) error {
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
func (s *Server) postForm(c echo.Context) error {
	fields, err := readForm(c)
	if err != nil {
		return err
	}
	if _, err := negotiated(c, mediaHTML, mediaJSON); err != nil {
		return err
	}
	view := s.formOptions.view()
	switch action := fields.Get("do"); action {
	case "example":
		i := slices.IndexFunc(view.Examples, func(e examples.Example) bool { return e.Name == fields.Get("example") })
		if i < 0 {
			view.Form, view.Mistakes = emptyForm(), []string{"There is no such example."}
			return s.sendHome(c, &view)
		}
		view.Example = view.Examples[i].Name
		s.judge(c, &view, view.Examples[i].Text)
	case "paste":
		view.Pasted = fields.Get("json")
		s.judge(c, &view, []byte(view.Pasted))
		if view.Report != nil {
			view.Pasted = ""
		}
	default:
		return s.postRecipe(c, &view, fields, action)
	}
	return s.sendHome(c, &view)
}

// postRecipe answers the buttons of the form itself.
func (s *Server) postRecipe(c echo.Context, view *homeView, fields url.Values, action string) error {
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
		indented, err := indented(body)
		if err != nil {
			return fmt.Errorf("indent request: %w", err)
		}
		return writePrivate(c, mediaJSON, append(indented, '\n'))
	case "card":
		made, problem := s.planner.Card(s.budgetOf(c), body)
		if problem == nil {
			var page bytes.Buffer
			if err := s.pages.writeCardHTML(s.budgetOf(c).Writer(&page), &made); err != nil {
				return err
			}
			return writePrivate(c, mediaHTML, page.Bytes())
		}
	}
	s.judge(c, view, body)
	return s.sendHome(c, view)
}

func (s *Server) sendHome(c echo.Context, view *homeView) error {
	var page bytes.Buffer
	if err := s.pages.render(s.budgetOf(c).Writer(&page), "home", view); err != nil {
		return err
	}
	return writePrivate(c, mediaHTML, page.Bytes())
}

// judge puts the report on a document into the view, or what keeps it from being one. The form is filled from a document
// that could be read, and left as it is otherwise.
func (s *Server) judge(c echo.Context, view *homeView, body []byte) {
	judged, problem := s.reporter.Illustrate(s.budgetOf(c), body, report.Options{})
	if problem != nil {
		view.Mistakes = mistakesOf(problem)
		if len(view.Form.Rows) == 0 {
			view.Form = emptyForm()
		}
		return
	}
	if source, err := indented(body); err == nil {
		view.Source = string(source)
	}
	if len(view.Form.Rows) == 0 {
		view.Form = formOf(&judged.Request)
	}
	view.Report, view.Kicker, view.Pictures = &judged.Report, judged.Request.Recipe.Name, judged.Pictures
	if view.Kicker == "" {
		view.Kicker = "The report"
	}
}

// indented lays a document out for people.
func indented(body []byte) ([]byte, error) {
	document := jsontext.Value(body).Clone()
	err := document.Indent(jsontext.WithIndent("  "))
	return plaintext.EscapedJSON(document), err
}

// mistakesOf words a problem for the page.
func mistakesOf(problem *ingest.Problem) []string {
	var list []string
	for _, e := range problem.Errors {
		place := report.Finding{At: e.Pointer}.Place()
		if place != "" {
			place = measure.Capital(place) + ": "
		}
		list = append(list, place+e.Detail)
	}
	return list
}
