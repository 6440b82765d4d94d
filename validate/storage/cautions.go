// Package storage says how long jars keep and which standing cautions go with a report. It judges nothing.
package storage

import (
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// caution is a standing warning and when it goes with a report.
type caution struct {
	id      string
	text    string
	sources []catalog.Citation
	applies func(*facts.Facts, report.Disposition) bool
}

func always(*facts.Facts, report.Disposition) bool { return true }

func onShelf(f *facts.Facts, _ report.Disposition) bool { return f.ForShelf() }

// cautions lists the standing warnings, in the order of a report.
var cautions = []caution{
	{
		"not-a-license",
		"This report does not replace the published instructions themselves, your local law, or a licensed process authority. Read the whole of " +
			"the published recipe before you start.",
		[]catalog.Citation{{Source: "practice"}},
		always,
	},
	{
		"selling", "To sell pickles you need a scheduled process from a process authority, and the license your law asks for. This report is neither.",
		[]catalog.Citation{{Source: "cfr-21-114", Verified: catalog.Read}},
		always,
	},
	{
		"never-taste", "Never taste food from a jar that leaks, bulges, spurts, smells odd or shows mold. Throw it away where no person or animal can get at it.",
		[]catalog.Citation{catalog.Guide("p. 1-26 to 1-27")},
		always,
	},
	{
		"seal-check",
		"Let the jars cool for 12 to 24 hours, then check every seal. A jar that has not sealed is reprocessed within 24 hours of the first " +
			"processing with a new lid, or kept in the refrigerator and eaten within days.",
		[]catalog.Citation{catalog.Guide("p. 1-25, 1-26")},
		onShelf,
	},
	{
		"full-boil", "Start the clock only at a full boil with the lid on. If the boil stops, bring it back and start the whole time again.",
		[]catalog.Citation{catalog.Guide("p. 1-18")},
		func(f *facts.Facts, _ report.Disposition) bool {
			return f.ForShelf() && f.Method() == document.MethodBoilingWater
		},
	},
	{
		"burns-and-glass",
		"Boiling water, steam and hot jars burn: lift jars with a jar lifter, straight up, and tip the canner lid away from you. Never set hot " +
			"jars on a cold or wet surface or into a draft, and never use a jar with a nick or crack.",
		[]catalog.Citation{{Source: "msu-extension", Locator: "1997, on breakage", Verified: catalog.Read}, {Source: "practice"}},
		func(f *facts.Facts, _ report.Disposition) bool { return f.Request.Batch != nil && f.ForShelf() },
	},
	{
		"disposal",
		"A jar to be thrown away stays closed: put it into a strong bag, tie it, and put it where no person or animal can get at it. If it is " +
			"open or leaks, wear gloves, and wash hands and everything it touched with household bleach and water. Do not taste it, and do not pour " +
			"it out.",
		[]catalog.Citation{catalog.Guide("p. 1-26 to 1-27"), {Source: "memory", Locator: "on gloves, bags and bleach", Verified: catalog.Recalled}},
		func(f *facts.Facts, d report.Disposition) bool { return f.Request.Batch != nil && d == report.Discard },
	},
	{
		"storage",
		"Keep sealed jars in a cool, dark, dry place, best between 50 and 70 °F (10 and 21 °C), never above 95 °F (35 °C), and use them within " +
			"a year. Refrigerate after opening.",
		[]catalog.Citation{catalog.Guide("p. 1-6, 1-11, 1-26")},
		onShelf,
	},
	{
		"listeria",
		"Pickles that were never heated in the jar can carry Listeria even in the refrigerator. People who are pregnant, old or ill should " +
			"rather eat processed ones.",
		[]catalog.Citation{{Source: "nchfp", Locator: "2004, on home-fermented refrigerator dills", Verified: catalog.Read}},
		func(f *facts.Facts, _ report.Disposition) bool { return !f.ForShelf() },
	},
	{
		"garlic-in-oil", "Garlic in oil keeps in the refrigerator at 40 °F (4 °C) for at most 7 days.",
		[]catalog.Citation{{Source: "nchfp", Locator: "from UC work of 2002", Verified: catalog.Read}},
		func(f *facts.Facts, _ report.Disposition) bool {
			fat, clove := false, false
			for i := range f.Composition.Lines {
				line := &f.Composition.Lines[i]
				fat = fat || (line.Counts() && line.Class == catalog.Fat)
				clove = clove || (line.Counts() && line.Item != nil && line.Item.Family == "garlic")
			}
			return !f.ForShelf() && fat && clove
		},
	},
	{
		"fully-fermented",
		"A ferment is canned or eaten only when it has soured fully: 3 to 4 weeks at 70 to 75 °F (21 to 24 °C), longer when cooler. Throw away " +
			"what is soft, slimy or smells bad.",
		[]catalog.Citation{catalog.Guide("p. 6-6 to 6-8")},
		func(f *facts.Facts, _ report.Disposition) bool {
			return f.Request.Recipe.Kind == document.KindFermented
		},
	},
	{
		"eggs-cold", "Pickled eggs stay in the refrigerator and are out of it for at most 2 hours.",
		[]catalog.Citation{{Source: "nchfp", Locator: "pickled eggs", Verified: catalog.Read}},
		func(f *facts.Facts, _ report.Disposition) bool {
			return holds(f, func(l *composition.Line) bool { return l.Class == catalog.Egg })
		},
	},
	{
		"hot-peppers", "Wear gloves when you cut hot peppers and keep your hands off your face.",
		[]catalog.Citation{catalog.Guide("p. 6-17 and recipes")},
		func(f *facts.Facts, _ report.Disposition) bool {
			return holds(f, func(l *composition.Line) bool { return l.Item != nil && l.Item.Family == "hot-pepper" })
		},
	},
	{
		"lime-dust", "Pickling lime burns eyes and lungs: do not breathe the dust. Use food-grade lime only.",
		[]catalog.Citation{catalog.Guide("p. 6-9")},
		func(f *facts.Facts, _ report.Disposition) bool {
			return holds(f, func(l *composition.Line) bool { return l.Item != nil && l.Item.ID == "pickling-lime" })
		},
	},
}

func holds(f *facts.Facts, fits func(*composition.Line) bool) bool {
	for i := range f.Composition.Lines {
		if line := &f.Composition.Lines[i]; line.Used() && fits(line) {
			return true
		}
	}
	return false
}

// Cautions lists the standing warnings that go with a report, the general ones first.
func Cautions(f *facts.Facts, disposition report.Disposition) []report.Caution {
	var list []report.Caution
	for _, c := range cautions {
		if c.applies(f, disposition) {
			list = append(list, report.Caution{ID: c.id, Text: c.text, Sources: c.sources})
		}
	}
	return list
}
