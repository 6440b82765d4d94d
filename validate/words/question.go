package words

// question is what a code asks, in the words of a report.
type question struct {
	says string // what the words do, behind the words
	ask  string // what to do
}

// questions are what each code of words.csv asks. They are ours; reading.md of the reference proposes them.
var questions = map[string]question{
	"state": {
		"says that the food was preserved, cooked or dried before",
		"Say the food as the tested recipe prints it, or weigh the fresh food and leave the word out.",
	},
	"amount":      {"gives no amount that can be weighed", "Give an amount, or to_cover."},
	"per":         {"leaves open whether it is for each jar or for the batch", "Say it with per: jar or batch."},
	"or":          {"leaves a choice", "Write the one that you use; until then the weaker acid or the larger food would count."},
	"plus":        {"is another amount or food in the same line", "Give it a line of its own."},
	"second food": {"is another food", "Give it its own line, or take it out."},
	"mixture":     {"does not say what is in it", "List the parts with their amounts, or follow a recipe that prints it."},
	"use":         {"leaves open whether all of it goes into the jars", "Take out of the recipe what does not go into the jars."},
	"number":      {"is a number, and it is not said of what", "Write amounts, sizes and strengths in the members made for them."},
	"weigh":       {"leaves the weight open", "Give a weight."},
	"part":        {"is a part of the plant, which is another food", "Name it as the item of a line of its own, or say that it is cut off."},
	"variety":     {"leaves open which kind it is; some have less acid", "Name the kind that the tested recipe prints."},
	"strength":    {"leaves the strength open", "Say what the label says (acidity_percent)."},
	"origin":      {"leaves open where it comes from, and with that what it is", "Name the food as it is sold."},
	"condition":   {"makes the line hang on something", "Write the recipe as you make it."},
	"negation":    {"denies something", "Say what is so in the member made for it, or leave it out."},
	"time":        {"speaks of time, heat or jars", "Say it in the members of process, rest or jar; a line is about a food."},
	"quotation":   {"may not mean what it says", "Write the words without such signs, or take them out."},
	"meaning":     {"can mean more than one thing here", "Say the form as the tested recipe prints it."},
	"note":        {"points to a text that is not here", "Write what it says in this line, or take it out."},
	"cut":         {"leaves open how large the pieces are", "Give the size in piece, or use the words of the tested recipe."},
}

// Says is what the words that ask a question do, to stand behind them in a sentence, and what to do about it.
func Says(code string) (says, ask string) {
	q, known := questions[code]
	if !known {
		q = questions["meaning"]
	}
	return q.says, q.ask
}
