package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

func TestSaltByVolume(t *testing.T) {
	at := []string{"/recipe/ingredients/4/amount"}
	weighed := salt(func(l *document.Ingredient) { l.Amount = amount(120, "g") })
	soakWeighed := func(r *document.Request) { line(r, "salt").Amount = amount(200, "g") }
	try(t, SaltByVolume(), dills, []ruleCase{
		{name: "canning salt", want: report.Pass},
		{
			name: "kosher flakes",
			edit: kind(document.SaltKosherFlake),
			want: report.Fail, at: at, says: "0.5 cup of this salt may weigh anything from 65 to 125 g.",
		},
		{name: "coarse sea salt", edit: kind(document.SaltSeaCoarse), want: report.Fail, at: at},
		{name: "fine sea salt", edit: kind(document.SaltSeaFine), want: report.Pass},
		{name: "kosher flakes, weighed", edit: both(kind(document.SaltKosherFlake), weighed), want: report.Pass},
		{name: "kosher flakes, as needed", want: report.Pass, edit: both(kind(document.SaltKosherFlake), salt(func(l *document.Ingredient) {
			l.Amount = &document.Quantity{Unit: "as_needed"}
		}))},
		{name: "kosher flakes, poured away", want: report.Pass, edit: both(kind(document.SaltKosherFlake), salt(func(l *document.Ingredient) {
			l.Drained = new(true)
		}))},
		{name: "all salt weighed", edit: both(weighed, soakWeighed), want: report.NotApplicable},
		{name: "all salt weighed but what is thrown away", edit: weighed, want: report.Pass},
		{name: "all salt weighed or as needed", want: report.NotApplicable, edit: both(soakWeighed, salt(func(l *document.Ingredient) {
			l.Amount = &document.Quantity{Unit: "as_needed"}
		}))},
	})
}

func TestCountWithoutSize(t *testing.T) {
	at := []string{tenth + "/amount"}
	counted := func(item, form string) func(*document.Request) {
		return func(r *document.Request) {
			l := more(item, 4, "each")
			l.Form = form
			add(r, l)
		}
	}
	sized := func(piece document.Piece) func(*document.Request) {
		return both(counted("onion", ""), func(r *document.Request) { line(r, "onion").Piece = &piece })
	}
	try(t, CountWithoutSize(), dills, []ruleCase{
		{name: "all weighed", want: report.NotApplicable},
		{name: "onions", edit: counted("onion", "chopped"), want: report.Fail, at: at, says: "Onion is counted without saying"},
		{name: "apples", edit: counted("apple", ""), want: report.Fail, at: at},
		{name: "medium onions", edit: counted("onion", "medium, chopped"), want: report.Pass},
		{name: "onions with a diameter", edit: counted("onion", "2 in diameter"), want: report.Pass},
		{name: "onions 3 in across", edit: counted("onion", "3 in across"), want: report.Pass},
		{name: "onions 3 in", edit: counted("onion", "3 in long"), want: report.Pass},
		{name: "onions of a length", edit: sized(document.Piece{Length: amount(2, "in")}), want: report.Pass},
		{name: "onions of a thickness", edit: sized(document.Piece{Thickness: amount(2, "in")}), want: report.Pass},
		{name: "garlic, which is all alike", edit: counted("garlic", ""), want: report.NotApplicable},
		{name: "cinnamon sticks, which are no food", edit: counted("cinnamon stick", ""), want: report.NotApplicable},
		{name: "unknown food", edit: counted("moon cheese", ""), want: report.NotApplicable},
		{name: "none", edit: both(counted("onion", ""), func(r *document.Request) { *line(r, "onion").Amount.Value = 0 }), want: report.NotApplicable},
		{
			name: "marked as poured away, which food never is", want: report.Fail, at: at,
			edit: both(counted("onion", ""), func(r *document.Request) { line(r, "onion").Drained = new(true) }),
		},
		{name: "as needed", edit: both(counted("onion", ""), func(r *document.Request) {
			line(r, "onion").Amount = &document.Quantity{Unit: "as_needed"}
		}), want: report.NotApplicable},
		{name: "weighed", edit: adding("onion", 1, "lb"), want: report.NotApplicable},
	})
}

func TestDimension(t *testing.T) {
	measuredIn := func(unit string) func(*document.Request) {
		return func(r *document.Request) { line(r, "cucumber").Amount = amount(8, unit) }
	}
	try(t, Dimension(), dills, []ruleCase{
		{name: "weighed", want: report.Pass},
		{
			name: "no published weight", edit: measuredIn("bunch"), want: report.Fail, at: []string{"/recipe/ingredients/0/amount"},
			says: "measured in bunch",
		},
		{
			name: "the same marked as poured away, which food never is",
			edit: both(measuredIn("bunch"), func(r *document.Request) { line(r, "cucumber").Drained = new(true) }),
			want: report.Fail, at: []string{"/recipe/ingredients/0/amount"},
		},
		{
			name: "unknown food",
			edit: both(measuredIn("bunch"), func(r *document.Request) { line(r, "cucumber").Item = "moon cheese" }),
			want: report.NotApplicable,
		},
		{name: "as needed", edit: func(r *document.Request) {
			line(r, "cucumber").Amount = &document.Quantity{Unit: "as_needed"}
		}, want: report.NotApplicable},
	})
}
