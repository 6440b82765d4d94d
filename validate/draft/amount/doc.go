// Package amount reads amounts as people write them: "2 (14 oz) cans tomatoes", "1–2 tbsp mustard seed". It says what a
// line gives, never what food it is of, and it never fails: what it does not understand stays in the rest of the line.
//
// # Grammar of a line
//
// The functions bear the names of the productions and try the alternatives in the order given here. Brackets enclose what
// may be absent, braces what may come any number of times. What is read leaves the line; the remainder is Line.Rest.
//
//	line          = lead ( amount rest | rest amountLater | rest )
//	lead          = [ heading ":" ] { "optional" | joining word before a number }
//	amount        = counted { again | added | bracket } [ portionBehind ] [ "each" [ "of" ] ]
//
//	counted       = plain [ packageSize | otherSize ]           where plain has no unit
//	              | plain [ again ] [ holder | sizes ]          where plain is a mass, a volume or a length
//	              | plain
//	plain         = [ approximation ] number [ rangeEnd ] [ thickness ] [ sizes ] [ unit [ measured ] ]
//	              | [ approximation ] [ "a" ] uncounted         "a pinch", "a few sprigs", "thumb-sized piece"
//	measured      = [ highWithUnit ] [ "or more" ] [ packing ] [ compound [ compoundEnd ] ]
//
//	unit          = spelling of written_units.csv               one word, two words ("fl oz") or a sign ("5#")
//	number        = integer | decimal | fraction | integer fraction | number word
//	rangeEnd      = ( "-" | "to" | "or" ) number                "2 to 3 cups"
//	highWithUnit  = ( "to" | "-" | "or" ) number unit           "1 cup to 2 cups"
//	compound      = number smaller unit                         "2 lb 4 oz"
//	compoundEnd   = ( "-" | "to" ) number unit compound         "2 lb 4 oz-2 lb 12 oz"
//	approximation = { "about" | "up to" | "scant" … }
//	sizes         = { size | manner before a unit }             "large", "very large", "heaping"
//	packing       = "packed" | "lightly packed" …               behind the unit
//	thickness     = "-inch-thick" | "-cm-long" …                "1 1/4-inch-thick slice"
//
//	packageSize   = ( "(" plain ")" | [ "x" | "-" | "," | "of" ] plain ) [ unit of what holds it ]
//	otherSize     = "or" number size                            "6 medium or 3 large"
//	holder        = [ "-" ] [ sizes ] container or portion      the can of "28-ounce can"
//	again         = ( "/" | "=" | "or" | "," | nothing ) plain  the same amount in the other system of units
//	added         = ( "plus" | "+" | "and" | "less" ) plain     a total of several amounts, see Reader.Total
//	bracket       = "(" plain ")" | "(optional)"                the size of each, or the same amount again
//
//	portionBehind = food ( "cloves" | "stalks" … )              "4 garlic cloves"
//	rest          = food { amountBehind } [ open ]
//	amountBehind  = bracket | ", about" plain | ", plus" plain | plain in the other system
//	amountLater   = amount behind the food                      "lemons, 2", "Salt: 1 tsp", "juice of 2 lemons"
//	open          = "to taste" | "to cover" | "as needed" …
//
// A number is never taken for an amount where a percent sign follows it. A word that is a unit and a food ("cloves",
// "heads") is a unit only where a food can follow it (unitFits). A length alone is the size of the food,
// and its amount is looked for behind it.
package amount
