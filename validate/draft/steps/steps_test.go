package steps_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/draft/steps"
)

// told writes a figure with its unit: "180..185 F".
func told(f steps.Figure) string {
	text := fmt.Sprint(f.Value)
	if f.Max != nil {
		text += fmt.Sprintf("..%v", *f.Max)
	}
	return strings.TrimSpace(text + " " + f.Unit)
}

// reading is a sentence and what is read from it; the sentences are our own.
type reading struct{ sentence, want string }

// holds compares what is read from each sentence.
func holds(t *testing.T, read func(steps.Sentence) string, readings []reading) {
	t.Helper()
	for _, r := range readings {
		t.Run(r.sentence, func(t *testing.T) {
			if got := read(steps.New(r.sentence)); got != r.want {
				t.Errorf("%q, want %q", got, r.want)
			}
		})
	}
}

// figure reads a figure or nothing.
func figure(read func(steps.Sentence) (steps.Figure, bool)) func(steps.Sentence) string {
	return func(s steps.Sentence) string {
		f, ok := read(s)
		if !ok {
			return ""
		}
		return told(f)
	}
}

func TestSplitEndsSentencesAtMarks(t *testing.T) {
	for text, want := range map[string][]string{
		"Boil. Fill the jars.":           {"Boil.", "Fill the jars."},
		"Is it hot? Good! Go on.":        {"Is it hot?", "Good!", "Go on."},
		"leave 1/2 in. headspace":        {"leave 1/2 in. headspace"},
		"Add 12.5 g. Stir":               {"Add 12.5 g.", "Stir"},
		"Boil; then fill":                {"Boil;", "then fill"},
		"Leave 1 in. Éclairs are not it": {"Leave 1 in. Éclairs are not it"},
		"Wait. Écumez.":                  {"Wait.", "Écumez."},
		"It is hot. so be careful":       {"It is hot. so be careful"},
		"":                               nil,
	} {
		t.Run(text, func(t *testing.T) {
			var got []string
			for _, s := range steps.Split(text) {
				got = append(got, s.Text)
			}
			if !slices.Equal(got, want) {
				t.Errorf("%q, want %q", got, want)
			}
		})
	}
}

func TestForbids(t *testing.T) {
	for text, want := range map[string]bool{"Never use a water bath.": true, "Don't do it.": true, "Use a water bath.": false} {
		t.Run(text, func(t *testing.T) {
			if got := steps.New(text).Forbids(); got != want {
				t.Errorf("%v", got)
			}
		})
	}
}

func TestMethodIsTheMostTellingWord(t *testing.T) {
	holds(t, steps.Sentence.Method, []reading{
		{"Process in a boiling-water canner.", document.MethodBoilingWater},
		{"Process in a steam canner, not a water bath.", document.MethodSteam},
		{"Process at 10 psi.", document.MethodPressure},
		{"Use a water bath or pressure canner.", document.MethodBoilingWater},
		{"Keep the water at 180°F.", document.MethodLowTemperature},
		{"Heat the brine to 180°F.", ""},
		{"Use an electric canner.", document.MethodMulticooker},
		{"Process in the oven.", document.MethodOven},
		{"Process in the dishwasher.", document.MethodDishwasher},
		{"Process in the microwave.", document.MethodMicrowave},
		{"Invert the jars for five minutes.", document.MethodOpenKettle},
		{"Boil the brine.", ""},
	})
}

func TestTemperature(t *testing.T) {
	holds(t, figure(steps.Sentence.Temperature), []reading{
		{"Hold the water at 180 to 185 °F.", "180..185 F"},
		{"Hold the water at 82 degrees C.", "82 C"},
		{"Hold the water warm.", ""},
	})
}

func TestTimesOfTheCanner(t *testing.T) {
	read := func(s steps.Sentence) string {
		var all []string
		for _, time := range s.Times() {
			text := strings.TrimSpace(told(time.Figure) + " " + time.Jar)
			if time.Elsewhere {
				text += " elsewhere"
			}
			all = append(all, text)
		}
		return strings.Join(all, "; ")
	}
	holds(t, read, []reading{
		{"Process pints 10 minutes, quarts 15 minutes in a water bath.", "10 min pint; 15 min quart"},
		{"Process for 10 to 12 minutes.", "10..12 min"},
		{"Process in a canner for 1 1/2 hours.", "90 min"},
		{"Process 10 minutes at 0 to 1,000 ft, 15 minutes at 1,001 to 6,000 ft.", "10 min; 15 min elsewhere"},
		{"Process 10 minutes, and add 5 minutes at altitude.", "10 min; 5 min elsewhere"},
		{"Process 10 minutes, 5 minutes more for altitude.", "10 min; 5 min elsewhere"},
		{"Simmer the beets for 20 minutes.", ""},
		{"Simmer the relish 30 minutes while the empty jars stand in warm water, then fill and process the jars for 10 minutes.", "10 min"},
		{"Chop in a food processor for 2 minutes.", ""},
		{"Chop in a food processor for 2 minutes and fill the jars.", "2 min"},
		{"Turn off the heat and let the jars rest in the canner for 5 minutes.", ""},
		{"Blanch in boiling water for 3 minutes and fill the jars.", ""},
		{"Steam for 10 minutes.", ""},
		{"Process the jars.", ""},
	})
}

func TestWaterOverLids(t *testing.T) {
	holds(t, figure(steps.Sentence.WaterOverLids), []reading{
		{"The water stands 1 to 2 inches above the lids.", "1 in"},
		{"Cover the jars by 25 mm.", "25 mm"},
		{"Leave 1 inch in the jar.", ""},
		{"Screw the bands over the lids, 1 in wide.", ""},
	})
	t.Run("deeper for long times", func(t *testing.T) {
		depth, minutes, ok := steps.New("Water 1 in over the lids, 2 in (50 mm) where the time is over 30 minutes.").DeeperWater()
		if !ok || told(depth) != "2 in" || minutes != 30 {
			t.Errorf("%s over %v minutes, %v", told(depth), minutes, ok)
		}
	})
	t.Run("one depth", func(t *testing.T) {
		if _, _, ok := steps.New("Water 1 in over the lids.").DeeperWater(); ok {
			t.Error("a second depth was read")
		}
	})
}

func TestNotesElevation(t *testing.T) {
	for text, want := range map[string]bool{"Adjust for your altitude.": true, "At 3,000 ft add time.": true, "Put your feet up.": false} {
		t.Run(text, func(t *testing.T) {
			if got := steps.New(text).NotesElevation(); got != want {
				t.Errorf("%v", got)
			}
		})
	}
}

func TestJarsNamed(t *testing.T) {
	read := func(s steps.Sentence) string {
		ids, sure := s.Jars()
		if len(ids) > 0 && !sure {
			ids = append(ids, "perhaps")
		}
		return strings.Join(ids, " ")
	}
	holds(t, read, []reading{
		{"Fill half-pint or pint jars.", "half-pint pint"},
		{"Fill 8 oz jars.", "half-pint"},
		{"Fill 12 fl oz jars.", "12-ounce"},
		{"Fill 500 ml jars.", "500-ml"},
		{"Process quarts 10 minutes.", "quart perhaps"},
		{"Add a pint of vinegar.", ""},
		{"Fill the jars.", ""},
	})
}

func TestHeadspaceIsTheNearestLength(t *testing.T) {
	holds(t, figure(steps.Sentence.Headspace), []reading{
		{"Pack 4-inch sticks, leaving 1/2 inch headspace.", "0.5 in"},
		{"Leave 1/2 in (13 mm) headspace.", "0.5 in"},
		{"Leave headspace of 1/4 to 1/2 inch, with sticks of 4 in.", "0.25..0.5 in"},
		{"Fill to 1 cm from the rim.", "1 cm"},
		{"Leave some headspace.", ""},
		{"Cut in 1 inch pieces.", ""},
	})
}

func TestPack(t *testing.T) {
	read := func(s steps.Sentence) string {
		pack, named := s.Pack()
		if named {
			pack += " named"
		}
		return pack
	}
	holds(t, read, []reading{
		{"Raw pack: fill the jars.", document.PackRaw + " named"},
		{"Hot pack: fill the jars.", document.PackHot + " named"},
		{"Ladle hot salsa into the jars.", document.PackHot},
		{"Fill jars with hot brine.", document.PackRaw},
		{"Fill the hot food into jars and cover with hot liquid.", document.PackHot},
		{"Pour cold brine over it.", document.PackCold},
		{"Fill the jars.", ""},
	})
}

func TestJarPreparationIsTheMostThatIsDone(t *testing.T) {
	holds(t, steps.Sentence.JarPreparation, []reading{
		{"Sterilize them.", document.JarsSterilized},
		{"Wash the jars and keep the jars hot.", document.JarsHot},
		{"Wash the jars.", document.JarsClean},
		{"Wash the beets.", ""},
		{"Fill the jars.", ""},
	})
}

func TestKeep(t *testing.T) {
	holds(t, steps.Sentence.Keep, []reading{
		{"Store in the fridge.", document.KeepRefrigerator},
		{"Refrigerate after opening.", ""},
		{"Keep in a cool, dark place and refrigerate opened jars.", document.KeepShelf},
		{"Eat it.", ""},
	})
}

func TestRest(t *testing.T) {
	holds(t, figure(steps.Sentence.Rest), []reading{
		{"Wait 3 to 4 weeks before opening.", "3..4 wk"},
		{"Let stand 2 days.", "2 d"},
		{"Wait a month before eating; 2 months are better.", "2 mo"},
		{"Keeps for 12 months.", ""},
		{"Wait a while.", ""},
	})
}

func TestStrengthOfTheVinegar(t *testing.T) {
	read := func(s steps.Sentence) string {
		percent, demanded, ok := s.Strength()
		if !ok {
			return ""
		}
		return fmt.Sprintf("%v demanded %v", percent, demanded)
	}
	holds(t, read, []reading{
		{"Use vinegar of 5% acidity.", "5 demanded true"},
		{"Never use vinegar of less than 5 percent.", "5 demanded true"},
		{"Do not use vinegar of 4%.", "4 demanded false"},
		{"Use 2% milk.", ""},
		{"Use strong vinegar.", ""},
	})
}

func TestRinses(t *testing.T) {
	read := func(s steps.Sentence) string {
		if times, ok := s.Rinses(); ok {
			return fmt.Sprint(times)
		}
		return ""
	}
	holds(t, read, []reading{
		{"Rinse the lime off three times.", "3"},
		{"Soak in fresh water 2 times.", "2"},
		{"Rinse the lime off 4 times.", "4"},
		{"Rinse the lime off.", ""},
		{"Rinse the beets twice.", ""},
	})
}

func TestKindOfATitle(t *testing.T) {
	holds(t, steps.Sentence.Kind, []reading{
		{"Peach Salsa", document.KindSauce},
		{"Fermented relish", document.KindFermented},
		{"Corn relish", document.KindRelish},
		{"Apple Butter", document.KindFruit},
		{"Bread and butter pickles", ""},
		{"Pickled beets", ""},
	})
}

func TestFerment(t *testing.T) {
	holds(t, func(s steps.Sentence) string {
		time, warmth := s.Ferment()
		var said []string
		for _, f := range []steps.Figure{time, warmth} {
			if f.Unit != "" {
				said = append(said, told(f))
			}
		}
		return strings.Join(said, " at ")
	}, []reading{
		{"Ferment under the brine for 3 to 4 weeks at 70 to 75 °F (21 to 24 °C).", "3..4 wk at 70..75 F"},
		{"Or ferment under the brine for 5 to 6 weeks at 55 to 65 °F.", ""},
		{"Let it ferment in the cellar for 5 days.", "5 d"},
		{"The fermenting crock stands at 21 C.", "21 C"},
		{"Ferment 1 month at 68 degrees F.", "1 mo at 68 F"},
		{"Let it ferment until it is sour.", ""},
		{"Wait 3 weeks at 70 °F.", ""},
	})
}
