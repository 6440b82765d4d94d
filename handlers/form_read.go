package handlers

import (
	"errors"
	"fmt"
	"math"
	"mime"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"jarwright/validate/document"
	"jarwright/validate/measure"

	"github.com/go-json-experiment/json"
)

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

// formReader turns fields into a request and collects what cannot be read.
type formReader struct {
	fields   url.Values
	mistakes []string
}

func (r *formReader) text(name string) string {
	return strings.ToValidUTF8(strings.TrimSpace(r.fields.Get(name)), "\uFFFD")
}

// number reads a field as people write numbers: 1.5, 1,5, 1/2, 1 1/2, 1½. It is nil for an empty field, and for what is no number
// or none that can be told from another: 1,000 and 1 000 are one to some and a thousand to others.
func (r *formReader) number(name, words string) *float64 {
	text := r.text(name)
	if text == "" {
		return nil
	}
	mistake := func(what string) *float64 {
		r.mistakes = append(r.mistakes, fmt.Sprintf("%s: “%s” %s", words, shortened(text), what))
		return nil
	}
	if groupedForm.MatchString(text) {
		return mistake("may be one or a thousand. Write 1000 without a mark between its digits, or 1.0.")
	}
	parts := strings.Fields(fractionSigns.Replace(strings.ReplaceAll(text, ",", ".")))
	var value float64
	var ok bool
	switch {
	case len(text) > maxNumberText:
		return mistake("is too long for a number.")
	case len(parts) == 1:
		value, ok = readPart(parts[0])
	case len(parts) == 2 && wholeForm.MatchString(parts[0]) && fractionForm.MatchString(parts[1]):
		whole, _ := readPart(parts[0])
		value, ok = readPart(parts[1])
		value += whole
	}
	if !ok {
		return mistake("is not a number. Write 1.5, 1/2 or 1 1/2.")
	}
	return &value
}

// maxNumberText is the longest text that is read as a number; the least number there is, written out, is shorter.
const maxNumberText = 400

// fractionSigns writes out the fractions that have a sign of their own.
var fractionSigns = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8")

// What people write of a number. The reader of Go takes more: inf, nan, 0x1p-2 and 1_000.
var (
	wholeForm    = regexp.MustCompile(`^[0-9]+$`)
	decimalForm  = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)
	fractionForm = regexp.MustCompile(`^[0-9]+/[0-9]+$`)
	groupedForm  = regexp.MustCompile(`^[+-]?[1-9][0-9]{0,2}(,[0-9]{3})+(\.[0-9]+)?$`)
)

// readPart reads a decimal or a fraction of two decimals. It reports false for anything else, for what divides by zero and for
// what is too large or too small to be told from infinity or from nothing.
func readPart(part string) (float64, bool) {
	top, bottom, isFraction := strings.Cut(part, "/")
	value, ok := readDecimal(top)
	if !isFraction || !ok {
		return value, ok
	}
	divisor, ok := readDecimal(bottom)
	if !ok || divisor == 0 {
		return 0, false
	}
	quotient := value / divisor
	return quotient, !math.IsInf(quotient, 0) && (quotient != 0 || value == 0)
}

func readDecimal(text string) (float64, bool) {
	if !decimalForm.MatchString(text) {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	mantissa, _, _ := strings.Cut(strings.ToLower(text), "e")
	vanished := value == 0 && strings.ContainsAny(mantissa, "123456789")
	return value, err == nil && !vanished
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
