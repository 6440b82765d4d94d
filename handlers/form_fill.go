package handlers

import (
	"strconv"
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/measure"
)

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
