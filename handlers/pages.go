package handlers

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"jarwright/api/release"
	"jarwright/validate"
	"jarwright/validate/card"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/picture"
	"jarwright/validate/plaintext"
	"jarwright/validate/report"
)

//go:embed templates/*.html
var templateFiles embed.FS

//go:embed assets
var assetFiles embed.FS

// contentPolicy keeps a page to this server: no script or style in the page itself, nothing from elsewhere. The API
// reference draws some signs from data addresses.
const contentPolicy = "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// pages renders what people read. It is read-only after newPages.
type pages struct {
	templates *template.Template
	files     map[string]*asset
	rules     *asset
	sources   *asset
	rulesets  *asset
	docs      *asset

	publicPath string // where the pages are for those who read them
}

// newPages parses the templates and renders the pages that never change.
func newPages(catalog Catalog, publicPath string) (*pages, error) {
	parsed, err := template.New("pages").Funcs(pageFunctions()).ParseFS(templateFiles, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("parse templates: %w", err)
	}
	p := &pages{templates: parsed, files: map[string]*asset{}, publicPath: publicPath}
	for _, page := range []struct {
		name string
		data any
		into **asset
	}{{"rules", catalog, &p.rules}, {"sources", catalog, &p.sources}, {"rulesets", catalog, &p.rulesets}, {"docs", nil, &p.docs}} {
		if *page.into, err = p.static(page.name, page.data); err != nil {
			return nil, err
		}
	}
	return p, p.loadFiles()
}

// preparePages readies the pages and the form.
func (s *Server) preparePages(catalog Catalog) error {
	var err error
	if s.pages, err = newPages(catalog, s.publicPath()); err != nil {
		return err
	}
	if s.formOptions, err = newFormOptions(catalog, s.baseURL); err != nil {
		return err
	}
	view := s.formOptions.view()
	view.Form = emptyForm()
	s.home, err = s.pages.static("home", &view)
	return err
}

func (p *pages) static(name string, data any) (*asset, error) {
	var body bytes.Buffer
	if err := p.render(&body, name, data); err != nil {
		return nil, err
	}
	return newAsset(body.Bytes(), mediaHTML)
}

func (p *pages) render(w io.Writer, name string, data any) error {
	var page bytes.Buffer
	if err := p.templates.ExecuteTemplate(&page, name, data); err != nil {
		return fmt.Errorf("render %s: %w", name, err)
	}
	if _, err := w.Write(relocatedPage([]byte(plaintext.Text(page.String())), p.publicPath)); err != nil {
		return fmt.Errorf("render %s: %w", name, err)
	}
	return nil
}

// mediaTypeOf is by the ending of the file.
var mediaTypeOf = map[string]string{".css": "text/css", ".js": "text/javascript", ".txt": mediaText, ".svg": "image/svg+xml"}

// noticesName is what the licenses of all parts are called among the files.
const noticesName = "notices.txt"

func (p *pages) loadFiles() error {
	names, err := fs.Glob(assetFiles, "assets/*")
	if err != nil {
		return fmt.Errorf("list assets: %w", err)
	}
	for _, name := range names {
		body, err := assetFiles.ReadFile(name)
		if err != nil {
			return fmt.Errorf("read asset: %w", err)
		}
		if p.files[path.Base(name)], err = newAsset(body, mediaTypeOf[path.Ext(name)]); err != nil {
			return err
		}
	}
	p.files[noticesName], err = newAsset(release.Notices(), mediaText)
	return err
}

// getAsset serves a style sheet or a script.
func (s *Server) getAsset(c echo.Context) error {
	name := c.Param("name")
	file, ok := s.pages.files[name]
	if !ok {
		names := make([]string, 0, len(s.pages.files))
		for each := range s.pages.files {
			names = append(names, each)
		}
		slices.Sort(names)
		return notNamed("name", name, "file", names)
	}
	return file.serve(c)
}

// reportView is what the page of a report shows.
type reportView struct {
	Name     string
	Kicker   string // above the verdict; empty where the name of the recipe is the title of the page
	Report   *report.Report
	Pictures []picture.Figure
}

// writeReportHTML renders a report as a page.
func (p *pages) writeReportHTML(w io.Writer, judged *validate.Illustrated) error {
	return p.render(w, "report-page", reportView{Name: judged.Request.Recipe.Name, Report: &judged.Report, Pictures: judged.Pictures})
}

// cardView is what the page of a card shows.
type cardView struct {
	Card *linkedCard
}

// linkedCard lets the template reach the JSON-LD beside the card itself.
type linkedCard struct {
	*card.Card
	Linked card.Linked
}

func (p *pages) writeCardHTML(w io.Writer, c *card.Card) error {
	return p.render(w, "card", cardView{Card: &linkedCard{Card: c, Linked: c.Linked()}})
}

// pageFunctions are what the templates can call. Everything that comes from a request is escaped by the template; only
// the pictures, which escape their own text, are put in as they are.
func pageFunctions() template.FuncMap {
	spaced := strings.NewReplacer("_", " ")
	var salts choices
	for _, kind := range saltKinds {
		salts.add(kind, spaced.Replace(kind))
	}
	return template.FuncMap{
		"number":           measure.FormatNumber,
		"numberAt":         func(v *float64) string { return measure.FormatNumber(*v) },
		"spaced":           spaced.Replace,
		"text":             func(v any) string { return fmt.Sprint(v) },
		"list":             func(v ...string) []string { return v },
		"one":              func(c catalog.Citation) []catalog.Citation { return []catalog.Citation{c} },
		"svg":              func(s string) template.HTML { return template.HTML(s) },
		"dispositionWords": func(d report.Disposition) string { return sentence(d.Words()) },
		"sourceWords":      sourceWords,
		"findings":         findingsHTML,
		"verifiedWords":    verifiedWords,
		"safe": func(all []report.Departure) []report.Departure {
			var list []report.Departure
			for _, d := range all {
				if d.Judged == "safe" {
					list = append(list, d)
				}
			}
			return list
		},
		"dateWords":   dateWords,
		"named":       plaintext.Name,
		"kinds":       func() []string { return kinds },
		"kindWords":   func(kind string) string { return kindWords[kind] },
		"methods":     func() []string { return methods },
		"saltOptions": func() choices { return salts },
	}
}

// unitWords says a unit shortly: its code, or for pieces the name.
func unitWords(unit measure.Unit) string {
	switch unit.Code {
	case measure.CodeEach:
		return "pieces"
	case measure.CodeToCover:
		return "to cover"
	case measure.CodeAsNeeded:
		return "as needed"
	}
	return strings.ReplaceAll(unit.Code, "_", " ")
}

// sentence turns "FIT FOR THE SHELF" into "Fit for the shelf".
func sentence(capitals string) string {
	lower := strings.ToLower(capitals)
	return strings.ToUpper(lower[:1]) + lower[1:]
}

// dateWords writes a date of the tables, YYYY-MM-DD, in words. Tables with other dates do not load.
func dateWords(date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return day.Format("January 2, 2006")
}

func verifiedWords(v catalog.Verified) string {
	switch v {
	case catalog.Read:
		return "read"
	case catalog.Computed:
		return "computed"
	case catalog.Derived:
		return "worked out"
	}
	return "from memory"
}

// Choices of the form, in the order in which they are offered.
var (
	kinds     = []string{document.KindBrined, document.KindRelish, document.KindSauce, document.KindFruit, document.KindFermented, document.KindFresh}
	kindWords = map[string]string{
		document.KindBrined: "under brine", document.KindRelish: "relish", document.KindSauce: "sauce, salsa", document.KindFruit: "fruit",
		document.KindFermented: "fermented", document.KindFresh: "fresh",
	}
	methods = []string{
		document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature, document.MethodNone, document.MethodPressure, document.MethodMulticooker,
		document.MethodOpenKettle, document.MethodOven, document.MethodMicrowave, document.MethodDishwasher, document.MethodCanningPowder,
	}
	saltKinds = []string{
		document.SaltCanning, document.SaltTable, document.SaltKosherFlake, document.SaltSeaFine, document.SaltSeaCoarse, document.SaltReducedSodium,
	}
)
