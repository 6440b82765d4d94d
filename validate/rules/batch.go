package rules

import (
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

func recorded(f *facts.Facts) bool { return f.Request.Batch != nil }

// processed is the Applies of a rule on jars that were heated for the shelf in a way that has a process.
func processed(f *facts.Facts) bool {
	if !recorded(f) || !f.Matched() {
		return false
	}
	switch f.Method() {
	case document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature:
		return true
	}
	return false
}

// onJars is the Applies of a rule on something that one jar at least records.
func onJars(applies func(*facts.Facts) bool, records func(*document.BatchJar) bool) func(*facts.Facts) bool {
	return func(f *facts.Facts) bool {
		if !applies(f) {
			return false
		}
		for i := range f.Request.Batch.Jars {
			if records(&f.Request.Batch.Jars[i]) {
				return true
			}
		}
		return false
	}
}

// onReadings is the Applies of a rule on the readings of acidity taken with an instrument; empty is any.
func onReadings(instrument string) func(*facts.Facts) bool {
	return func(f *facts.Facts) bool {
		if !recorded(f) {
			return false
		}
		for i := range f.Request.Batch.PHReadings {
			if instrument == "" || f.Request.Batch.PHReadings[i].Instrument == instrument {
				return true
			}
		}
		return false
	}
}

func acidRegulation(locator string) catalog.Citation {
	return catalog.Citation{Source: "cfr-21-114", Locator: locator, Verified: catalog.Read}
}

// canningDay lists the rules on the record of a canning day, in the order of the catalog. What each has to say is found
// in one reading of the record, in package canningday.
func canningDay() []Rule {
	rules := slices.Concat(onProcess(), onFilling(), onSeals(), onAcidity(), onStored())
	for i := range rules {
		rules[i].Since, rules[i].CanningDay, rules[i].Run = since, true, remarked(rules[i].ID)
	}
	return rules
}

// onProcess lists the rules on the record itself and on the process.
func onProcess() []Rule {
	return []Rule{
		{
			ID: "batch.record", Title: "Record whole and free of contradiction", Severity: report.Error, Hazard: report.Pathogen,
			About: "The times of packing and of the process have to be known and to fit each other. Events that are out of order, overlap, lie in " +
				"the future or belong to no load are named, never guessed at. An event that names no load belongs to every load that was in the " +
				"canner then. A second process comes after the first, and packed jars wait 4 hours at most.",
			Sources: []catalog.Citation{
				catalog.Guide("p. 1-18"), catalog.Guide("p. 1-26"), {Source: "nsw-food-authority", Locator: "2-hour/4-hour rule", Verified: catalog.Read},
			},
			Remedy:  "Put the record right.",
			Applies: recorded,
		},
		{
			ID: "batch.boil-continuous", Title: "Boil never lost, or started anew", Severity: report.Error, Hazard: report.Pathogen,
			About:   "When the boil stops, it is brought back and the whole time starts again. Minutes before and after a break are never added.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-18")},
			Remedy:  "Bring it back to a full boil and start the whole time again.",
			Applies: processed,
			Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		},
		{
			ID: "batch.time-held", Title: "Processed for the whole time", Severity: report.Error, Hazard: report.Pathogen,
			About: "The effective time is the longest unbroken boil under enough water. It must reach the minutes that the tested recipe prints for " +
				"the pack, the jar and the elevation. A boil without a recorded beginning or end does not count.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-18"), catalog.Guide("p. 1-22")},
			Remedy:  "Process the jars for the whole time.",
			Applies: processed,
			Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		},
		{
			ID: "batch.water-cover", Title: "Water over the lids all the time", Severity: report.Error, Hazard: report.Pathogen,
			About: "The water stands at least 1 inch over the lids, 2 inches when the time is longer than 30 minutes, as long as the time runs. " +
				"From a reading of too little back to the last good one nothing is known, so that stretch does not count.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-18")},
			Remedy: "Keep the lids under water by adding boiling water, and start the time " +
				"anew when they were not.",
			Applies: func(f *facts.Facts) bool { return processed(f) && f.Method() != document.MethodSteam },
		},
		{
			ID: "batch.lifting-wait", Title: "5 minutes' wait before lifting the jars", Severity: report.Info, Hazard: report.Injury,
			About: "With the heat off and the lid off the jars wait 5 minutes before they are lifted out. It helps the lids to seal and spares the " +
				"glass; it is not a matter of safe food.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-18")},
			Remedy: "Wait 5 minutes next time, and look closely at the seals and at the level " +
				"of the liquid.",
			Applies: processed,
		},
	}
}

// onFilling lists the rules on what is in each jar.
func onFilling() []Rule {
	return []Rule{
		{
			ID: "batch.headspace", Title: "Headspace of each jar as printed", Severity: report.Error, Hazard: report.Spoilage,
			About: "With too little headspace food is forced out and fouls the seal; with too much, air stays in that the process was not timed to " +
				"drive out.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-13")},
			Remedy:  "Keep this jar in the refrigerator, and fill to the printed headspace next time.",
			Figures: []string{"headspace_volume", "least_headspace_for_swelling"},
			Applies: onJars(processed, func(j *document.BatchJar) bool { return j.Headspace != nil }),
		},
		{
			ID: "batch.food-covered", Title: "Food under the liquid", Severity: report.Info, Hazard: report.Quality,
			About:   "Food that stands out of the liquid darkens and dries. In a sealed jar it does not spoil by that alone.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-25")},
			Remedy:  "Do not open the jar to fill it up; use it first.",
			Applies: onJars(recorded, func(j *document.BatchJar) bool { return j.FoodCovered != nil }),
		},
		{
			ID: "batch.liquid-lost", Title: "Less than half the liquid lost", Severity: report.Error, Hazard: report.Pathogen,
			About: "A sealed jar that lost less than half its liquid is kept and used first. One that lost half or more may not have been heated " +
				"enough: it goes into the refrigerator, to be eaten within 2 to 3 days.",
			Sources: []catalog.Citation{
				{Source: "nchfp", Locator: "as quoted by Nebraska Extension", Verified: catalog.Read},
				catalog.Guide("p. 1-25"),
			},
			Remedy:  "Put it into the refrigerator and eat it within 2 to 3 days.",
			Applies: onJars(processed, func(j *document.BatchJar) bool { return j.LiquidLostPercent != nil }),
		},
	}
}

// onSeals lists the rules on the seal of each jar and on what is done about a bad one.
func onSeals() []Rule {
	return []Rule{
		{
			ID: "batch.seal-check-time", Title: "Seal checked after 12 to 24 hours", Severity: report.Error, Hazard: report.Spoilage,
			About: "Jars cool undisturbed for 12 to 24 hours before the seal is checked. A look before that shows nothing; a later one counts, but " +
				"leaves no time to process an unsealed jar again.",
			Sources: []catalog.Citation{
				catalog.Guide("p. 1-18"),
				catalog.Guide("p. 1-25"),
			},
			Remedy:  "Check the seal 12 to 24 hours after the process: the center stays down, the lid rings clear and is drawn in.",
			Applies: processed,
		},
		{
			ID: "batch.seal", Title: "Sealed", Severity: report.Error, Hazard: report.Botulism,
			About: "A sealed lid does not spring at its center, rings clear (or dull, where food touches it), is drawn in at eye level, and does " +
				"not leak. One bad sign is enough to take a jar for unsealed.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-25")},
			Remedy: "Process it again with a new lid within 24 hours of the first process, or " +
				"put it into the refrigerator by then and eat it within days.",
			Applies: onJars(processed, func(j *document.BatchJar) bool { return len(j.SealChecks) > 0 }),
		},
		{
			ID: "batch.reprocess-window", Title: "Put right within 24 hours", Severity: report.Error, Hazard: report.Botulism,
			About: "A jar that did not seal, or whose process fell short, can be processed again with a new lid, frozen or refrigerated within 24 " +
				"hours of the process. What stood warm longer is thrown away. One extension service allows only 2 hours where the process itself was wrong.",
			Sources: []catalog.Citation{
				catalog.Guide("p. 1-26"),
				{Source: "iowa-answerline", Locator: "30 August 2022", Verified: catalog.Read},
				{Source: "nebraska-extension", Verified: catalog.Read},
			},
			Remedy:  "Process it again with a new lid within 24 hours of the first process, or put it into the refrigerator by then.",
			Applies: processed,
		},
	}
}

// onAcidity lists the rules on readings of acidity.
func onAcidity() []Rule {
	return []Rule{
		{
			ID: "batch.ph-instrument", Title: "pH measured with an instrument that can tell", Severity: report.Error, Hazard: report.Botulism,
			About:   "Strips and other colors are no evidence above pH 4.0. A meter has to be accurate to 0.1.",
			Sources: []catalog.Citation{acidRegulation("114.80(a)(2), 114.90(b)")},
			Remedy:  "Measure again with a calibrated meter.",
			Applies: onReadings(""),
			Figures: []string{"ph_reading"},
		},
		{
			ID: "batch.ph-calibration", Title: "Meter calibrated in two buffers", Severity: report.Error, Hazard: report.Botulism,
			About: "A meter is calibrated in two buffers around the reading, usually 4 and 7, each time it is used; buffers nearer to each other than " +
				"2 do not show how it reads. One that is off in a buffer by more than its accuracy tells nothing. At pH 4.0 or below, " +
				"where any method will do, the reading may lie below the lower buffer.",
			Sources: []catalog.Citation{
				{Source: "osu-extension", Locator: "pH meters", Verified: catalog.Read},
				acidRegulation("114.90(a)"),
			},
			Remedy:  "Calibrate the meter and measure again.",
			Applies: onReadings(document.InstrumentMeter),
			Figures: []string{"ph_meter_slope", "ph_meter_offset", "ph_reading"},
		},
		{
			ID: "batch.ph-temperature", Title: "Sample and buffers at room temperature", Severity: report.Error, Hazard: report.Botulism,
			About:   "Acidity is measured between 20 and 30 °C, with the buffers as warm as the sample: what an electrode reads depends on it.",
			Sources: []catalog.Citation{acidRegulation("114.90(a)(3)(ii)")},
			Remedy:  "Let sample and buffers come to 25 °C and measure again.",
			Applies: onReadings(document.InstrumentMeter),
			Figures: []string{"ph_reading"},
		},
		{
			ID: "batch.ph-equilibrium", Title: "pH measured after liquid and food have evened out", Severity: report.Error, Hazard: report.Botulism,
			About: "Acid soaks into food slowly. A day is the usual wait before measuring; whole onions took about 15 days, whole peppers 30, whole " +
				"eggs up to 9. No regulation prints a number of hours: it leaves the time to the scheduled process. A whole jar blended needs no wait.",
			Sources: []catalog.Citation{
				{Source: "minnesota-extension", Locator: "2019", Verified: catalog.Read},
				{Source: "jfp-1985", Locator: "abstract", Verified: catalog.Read},
				{Source: "jfp-2014", Locator: "abstract", Verified: catalog.Read},
			},
			Remedy:  "Measure again later, or blend a whole jar.",
			Applies: onReadings(""),
			Figures: []string{"ph_reading", "equilibrium_ph"},
		},
		{
			ID: "batch.ph-limit", Title: "pH at most 4.6", Severity: report.Error, Hazard: report.Botulism,
			About: "Botulinum grows above pH 4.6. Jars of one batch come from one pot, so one under-acid reading puts all of them in doubt. A " +
				"reading at or below 4.6 explains; it never makes a jar fit for the shelf by itself.",
			Sources: []catalog.Citation{acidRegulation("114.3(a), (b)")},
			Remedy: "Put all jars of the batch into the refrigerator within 24 hours of " +
				"the process; throw away those that stood warm longer.",
			Applies: measured,
			Figures: []string{"ph_reading", "equilibrium_ph"},
		},
	}
}

// onStored lists the rules on labels and spoilage.
func onStored() []Rule {
	return []Rule{
		{
			ID: "batch.label", Title: "Labeled and dated", Severity: report.Info, Hazard: report.Quality,
			About:   "Before they are stored jars lose their ring bands, are wiped, and are labeled and dated.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-26")},
			Remedy:  "Take the ring band off, wipe the jar, label and date it.",
			Applies: onJars(recorded, func(j *document.BatchJar) bool { return j.Labeled != nil }),
		},
		{
			ID: "batch.spoilage", Title: "No sign of spoilage", Severity: report.Error, Hazard: report.Botulism,
			About: "A bulging or leaking lid, streaks of dried food, rising bubbles, spurting, mold, slime, an odd smell or color: whatever else is " +
				"known of it, such a jar is thrown away untasted.",
			Sources: []catalog.Citation{catalog.Guide("p. 1-26 to 1-27")},
			Remedy: "Throw it away unopened and untasted, where no person or animal " +
				"can get at it.",
			Applies: recorded,
		},
	}
}

// measured is the Applies of the limit of pH: one reading at least is evidence.
func measured(f *facts.Facts) bool { return recorded(f) && f.PHMeasured }
