package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"

	"jarwright/validate/canningday"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/figures"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
	"jarwright/validate/report"
	"jarwright/validate/rules"
	"jarwright/validate/storage"
)

// assemble makes the report of what the rules found.
func (c *Checker) assemble(f *facts.Facts, day *canningday.Day, all []judged, options report.Options) report.Report {
	r := report.Report{
		Findings: []report.Finding{}, Derived: []report.Derived{}, Leeway: []report.Leeway{}, AltitudeTable: altitudeTable(f),
		Rules: make([]report.RuleOutcome, 0, len(all)),
		Meta:  report.Meta{Ruleset: c.tables.Ruleset().Number, Tables: c.stamps, Assumed: assumed(f)},
	}
	for i := range all {
		r.Rules = append(r.Rules, report.RuleOutcome{Rule: all[i].rule.ID, Outcome: all[i].outcome})
		for _, finding := range all[i].findings {
			r.Findings = append(r.Findings, c.finding(all[i].rule, finding))
		}
	}
	r.Findings = inOrder(r.Findings, func(f *report.Finding) (at, then string) { return f.At, f.Rule })
	explain(f, options, &r)
	stand := standing(all, r.Findings)
	r.Disposition = disposition(f, stand)
	r.Process = matchedProcess(f, r.Disposition)
	day.Complete(canningday.Recipe{Disposition: r.Disposition, Because: stand, Remedies: c.remedies, Grave: c.grave}, &r)
	r.KeepKnown()
	r.Cautions = storage.Cautions(f, r.Disposition)
	r.Summary = summary(f, &r)
	r.Sources = c.cited(&r)
	return r
}

func (c *Checker) finding(of *rules.Rule, f facts.Finding) report.Finding {
	sources := f.Sources
	for _, id := range f.Changes {
		if change, ok := c.tables.Change(id); ok {
			sources = catalog.AddCitation(sources, change.Citation)
		}
	}
	if len(sources) == 0 {
		sources = of.Sources
	}
	remedy := f.Remedy
	if remedy == "" {
		remedy = of.Remedy
	}
	severity := of.Severity
	if f.Severity != "" {
		severity = f.Severity
	}
	return report.Finding{
		Rule: of.ID, Severity: severity, Outcome: f.Outcome, Hazard: of.Hazard, At: f.At, Message: plaintext.Text(f.Message), Remedy: plaintext.Text(remedy),
		Measured: f.Measured, Limit: f.Limit, Changes: f.Changes, Sources: sources, Fix: f.Fix,
	}
}

// explain adds the figures behind the report: they explain and warn, and grant nothing.
func explain(f *facts.Facts, options report.Options, r *report.Report) {
	const usual = 32 // figures in a report
	r.Derived = append(make([]report.Derived, 0, usual), figures.Acid(f)...)
	if options.Derivation {
		r.Derivation = figures.Derivation(f)
	}
	r.Derived = append(r.Derived, figures.Altitude(f)...)
	r.Derived = append(r.Derived, figures.Jar(f)...)
	if options.Curves {
		highest := highestPH(f)
		// Beyond the limit no lethality is published. Where only the worst of all inputs together lies there, that of the limit is shown.
		if limit := f.Tables.MustLimit("ph-max").Value; highest != nil && *highest > limit && f.Acidity.Likely.High <= limit {
			highest = &limit
		}
		heated, curves := figures.Heating(f, highest)
		r.Derived, r.Curves = append(r.Derived, heated...), curves
	}
	r.Leeway = append(r.Leeway, leeway(f)...)
}

// highestPH is the upper bound of the computed pH, nil when none was worked out.
func highestPH(f *facts.Facts) *float64 {
	if f.Acidity.Reason != "" {
		return nil
	}
	return new(f.Acidity.High)
}

// cited lists the documents behind the citations of a report, by first mention.
func (c *Checker) cited(r *report.Report) []report.Cited {
	list := []report.Cited{}
	add := func(citations ...catalog.Citation) {
		for _, citation := range citations {
			if len(list) > 0 && list[len(list)-1].ID == citation.Source {
				continue // most findings cite what the one before them does
			}
			known := slices.ContainsFunc(list, func(have report.Cited) bool { return have.ID == citation.Source })
			if source, ok := c.tables.Source(citation.Source); ok && !known {
				list = append(list, report.Cited{ID: source.ID, Title: source.Title, Publisher: source.Publisher, Year: source.Year})
			}
		}
	}
	for i := range r.Findings {
		add(r.Findings[i].Sources...)
	}
	if r.Process != nil {
		add(r.Process.Source)
	}
	for i := range r.Derived {
		add(r.Derived[i].Sources...)
	}
	for i := range r.Cautions {
		add(r.Cautions[i].Sources...)
	}
	return list
}

// standing lists the rules on the recipe that stand between it and the shelf, in the order of the catalog: those with a
// finding of error severity in the report as it is sent, whether it failed or could not be judged. Rules on the canning day
// decide over its jars.
func standing(all []judged, findings []report.Finding) []string {
	grave := map[string]bool{}
	for i := range findings {
		if findings[i].Severity == report.Error {
			grave[findings[i].Rule] = true
		}
	}
	var ids []string
	for i := range all {
		if rule := all[i].rule; grave[rule.ID] && !rule.CanningDay {
			ids = append(ids, rule.ID)
		}
	}
	return ids
}

// disposition, of the recipe, is shelf only when a tested recipe was matched and no rule stands between it and the shelf.
func disposition(f *facts.Facts, standing []string) report.Disposition {
	switch {
	case len(standing) > 0:
		return report.Hold
	case f.Request.Recipe.Keep == document.KeepRefrigerator:
		return report.Refrigerate
	case f.Request.Recipe.Keep == document.KeepShelf && f.Match.Matched():
		return report.Shelf
	}
	return report.Hold
}

func matchedProcess(f *facts.Facts, d report.Disposition) *report.Process {
	recipe := f.Match.Recipe
	if recipe == nil {
		return nil
	}
	p := &report.Process{
		Recipe: recipe.ID, Title: recipe.Title, Matched: f.Match.Matched() && (d == report.Shelf || d == report.Refrigerate),
		Schedules: []string{}, Departures: []report.Departure{}, Source: recipe.Citation,
	}
	for _, row := range f.Match.Pack.Possible {
		p.Schedules = append(p.Schedules, row.ID)
	}
	if style := f.Match.Pack.Style; style != nil {
		p.Pack, p.HeadspaceIn, p.SterileJars = style.Pack, style.HeadspaceIn, style.SterileJars
		p.Jar = f.Match.Pack.Jar.ID
	}
	if required := f.MinutesRequired(); required.HasHere {
		here := required.Here
		p.MinutesHere = &here
	}
	for _, d := range f.Match.Departures {
		departure := report.Departure{At: d.At, What: plaintext.Text(measure.Capital(d.What)), Judged: string(d.Verdict), Changes: d.Changes}
		if d.Verdict != match.Safe {
			departure.Rule = d.Rule
		}
		p.Departures = append(p.Departures, departure)
	}
	return p
}

// altitudeTable lists the minutes of every band for the rows that may apply; where several may, the longest.
func altitudeTable(f *facts.Facts) []report.AltitudeBand {
	table := []report.AltitudeBand{}
	var edges []float64
	open := true
	for _, row := range f.Match.Pack.Possible {
		for _, band := range row.Bands {
			if band.ToFt > 0 && !slices.Contains(edges, band.ToFt) {
				edges = append(edges, band.ToFt)
			}
		}
		if n := len(row.Bands); n == 0 || row.Bands[n-1].ToFt > 0 {
			open = false
		}
	}
	if len(f.Match.Pack.Possible) == 0 {
		return table
	}
	sort.Float64s(edges)
	if open {
		edges = append(edges, math.Inf(1))
	}
	from := 0.0
	for _, to := range edges {
		inside := to
		if math.IsInf(to, 1) {
			inside = from + 1
		}
		band := report.AltitudeBand{FromFt: from, FromM: meters(from)}
		if from > 0 {
			band.FromFt = from + 1 // printed as 1,001 ft; what lies between belongs to the upper band
		}
		for _, row := range f.Match.Pack.Possible {
			if b, ok := row.Band(measure.Length(inside) * measure.Foot); ok {
				band.Minutes = math.Max(band.Minutes, b.Minutes)
			}
		}
		if !math.IsInf(to, 1) {
			toFt, toM := to, meters(to)
			band.ToFt, band.ToM = &toFt, &toM
		}
		if f.Elevation != nil {
			at, slightly := f.Elevation.Feet(), 1+f.Tables.Tolerance(catalog.ElevationTolerance)
			band.Here = (from == 0 || at > from*slightly) && at <= to*slightly
		}
		if band.Minutes > 0 {
			table = append(table, band)
		}
		from = to
	}
	return table
}

func meters(feet float64) float64 {
	return math.Round((measure.Length(feet)*measure.Foot).Millimeters()/100) / 10
}

// assumed lists what was taken on the caller's word, and the defaults that were used.
func assumed(f *facts.Facts) []report.Assumption {
	list := []report.Assumption{}
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		for _, member := range line.Assumed {
			list = append(list, report.Assumption{At: line.At + "/" + member, What: line.Name + ": " + assumedWords(f.Request.Assume, member), By: "caller"})
		}
		if what := poured(f, line); what != "" {
			list = append(list, report.Assumption{At: line.At + "/drained", What: what, By: "caller"})
		}
		if line.Class == catalog.Salt && line.Used() && line.SaltKind == "" {
			list = append(list, report.Assumption{At: line.At, What: "the salt is taken as fine canning or table salt", By: "default"})
		}
	}
	p := f.Request.Recipe.Process
	if a := f.Request.Assume; a != nil && a.WaterOverLids != nil && a.WaterOverLids.Value != nil && (p == nil || p.WaterOverLids == nil) {
		list = append(list, report.Assumption{
			At:   "/recipe/process/water_over_lids",
			What: fmt.Sprintf("%s %s of water over the lids", measure.FormatNumber(*a.WaterOverLids.Value), a.WaterOverLids.Unit), By: "caller",
		})
	}
	return list
}

// poured says what became of a line that is marked as poured away; empty for others.
func poured(f *facts.Facts, line *composition.Line) string {
	title := "the recipe"
	if f.Match.Recipe != nil {
		title = "“" + f.Match.Recipe.Title + "”"
	}
	switch {
	case line.Pouring == composition.NotMarked || !line.Used():
		return ""
	case line.Pouring == composition.PouredAway && f.Match.Recipe == nil && line.InJar:
		return line.Name + ": marked as poured away, which is never true of it; it counts as in the jar"
	case line.Pouring == composition.PouredAway && f.Match.Recipe == nil:
		return line.Name + ": poured away or lifted out, as the recipe says; it does not count as in the jar"
	case line.Pouring == composition.PouredAway:
		return line.Name + ": poured away or lifted out, as in " + title + "; it does not count as in the jar"
	case line.Pouring == composition.KeptAnyhow:
		return line.Name + ": lifted out, as in " + title + "; it counts as in the jar all the same"
	case line.InJar:
		return line.Name + ": marked as poured away, which " + title + " does not have; it counts as in the jar"
	}
	return line.Name + ": marked as poured away, which " + title + " does not have; it counts for nothing"
}

func assumedWords(a *document.Assume, member string) string {
	switch member {
	case "acidity_percent":
		return measure.FormatNumber(*a.VinegarAcidityPercent) + " % acidity"
	case "bottled":
		if *a.BottledAcids {
			return "bought bottled"
		}
		return "not bought bottled"
	}
	return "salt kind " + a.SaltKind
}

// jarsNotSaid says for how many jars a verdict holds whose recipe does not say it, and how much food goes into each.
func jarsNotSaid(f *facts.Facts) string {
	jar := &f.Match.Jar
	if !jar.Known() || jar.JarsSaid {
		return ""
	}
	return fmt.Sprintf(" How many jars is not said: this holds for at most %.0f g of food, as the tested recipe weighs it, in a jar; the batch makes %s jars.",
		math.Floor(jar.MostFoodG), measure.FormatSpan(measure.Round(jar.JarsLow, 1), measure.Round(jar.JarsHigh, 1)))
}

func summary(f *facts.Facts, r *report.Report) report.Summary {
	s := report.Summary{}
	for _, f := range r.Findings {
		switch {
		case f.Outcome == report.Undetermined:
			s.Undetermined++
		case f.Severity == report.Error:
			s.Errors++
		case f.Severity == report.Warning:
			s.Warnings++
		default:
			s.Infos++
		}
	}
	title := ""
	if f.Match.Recipe != nil {
		title = f.Match.Recipe.Title
	}
	if len(r.Jars) > 0 {
		s.Text, s.NextStep = canningday.Summary(r)
		return s
	}
	switch r.Disposition {
	case report.Shelf:
		s.Text = fmt.Sprintf("Fit for the shelf: this follows the tested recipe “%s” in every respect that matters.", title) + jarsNotSaid(f)
		s.NextStep = "Process the jars, let them cool for 12 to 24 hours, check every seal, label and date them."
		if r.Process != nil && r.Process.MinutesHere != nil {
			place := "in boiling water"
			if f.Method() == document.MethodSteam {
				place = "in steam"
			}
			s.NextStep = fmt.Sprintf("Process the jars %s for %s minutes or more, let them cool for 12 to 24 hours, check every seal, label and date them.", place,
				measure.FormatNumber(*r.Process.MinutesHere))
		}
		if f.Method() == document.MethodLowTemperature {
			s.NextStep = "Hold the water at 180 to 185 °F (82 to 85 °C) for 30 minutes, let the jars cool for 12 to 24 hours, check every seal, label and date them."
		}
	case report.Refrigerate:
		s.Text = "For the refrigerator: keep these jars cold from the start; they are not fit for the shelf."
		s.NextStep = "Keep the jars at 40 °F (4 °C) or colder, label and date them."
		if f.Match.Recipe != nil && f.Match.Recipe.Refrigerator[1] > 0 {
			s.NextStep = fmt.Sprintf("Keep the jars at 40 °F (4 °C) or colder, date them, and use them within %s.", months(f.Match.Recipe.Refrigerator))
		}
	default:
		first := "Put right"
		if s.Errors == 0 {
			first = "Find out"
		}
		s.Text = holdText(f, s, title)
		s.NextStep = first + " what is named below. Jars made less than 24 hours ago: keep them in the refrigerator. Do not eat from jars that have stood at " +
			"room temperature longer."
		if f.Match.Recipe == nil && f.ForShelf() {
			s.NextStep = "Keep these jars in the refrigerator from the start, or follow a tested recipe. Do not eat from jars that have stood at room temperature " +
				"for more than 24 hours."
		}
	}
	return s
}

func months(span [2]float64) string {
	if span[0] == span[1] {
		if span[0] == 1 {
			return "1 month"
		}
		return measure.FormatNumber(span[0]) + " months"
	}
	return measure.FormatNumber(span[0]) + " to " + measure.FormatNumber(span[1]) + " months"
}

func holdText(f *facts.Facts, s report.Summary, title string) string {
	var parts []string
	if s.Errors > 0 {
		parts = append(parts, plural(s.Errors, "thing must be put right", "things must be put right"))
	}
	if s.Undetermined > 0 {
		parts = append(parts, plural(s.Undetermined, "thing that matters is not known", "things that matter are not known"))
	}
	if len(parts) == 0 {
		parts = append(parts, untestedWords(f))
	}
	where := "Not for the shelf as written"
	if !f.ForShelf() {
		where = "Not safe to keep as written"
	}
	text := where + ": " + measure.JoinAnd(parts)
	if title != "" && f.ForShelf() {
		text += fmt.Sprintf(" (compared with “%s”)", title)
	}
	return text + "."
}

// untestedWords is why a recipe is on hold that no rule stands against.
func untestedWords(f *facts.Facts) string {
	untested := 0
	for i := range f.Match.Departures {
		if f.Match.Departures[i].Verdict != match.Safe {
			untested++
		}
	}
	switch {
	case untested > 0:
		return plural(untested, "difference from the tested recipe was never tested", "differences from the tested recipe were never tested")
	case f.Match.Recipe == nil && f.ForShelf():
		return "no tested recipe is near enough to compare with"
	case f.ForShelf():
		return "it is not known to follow a tested recipe in every respect"
	}
	return "it does not say how it is to be kept"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
