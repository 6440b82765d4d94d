package draft

import "strings"

// readMembers are the members of a Recipe that are read or have no bearing on safety.
var readMembers = wordSet(`@type @id @context type id name headline description recipeIngredient ingredients recipeInstructions step steps
	instructions text recipeYield yield recipeCategory keywords cookingMethod recipeNotes tool supply image video author publisher
	datePublished dateModified dateCreated url mainEntityOfPage aggregateRating review reviews comment commentCount nutrition license
	copyrightHolder copyrightYear inLanguage isPartOf identifier thumbnailUrl recipeCuisine suitableForDiet interactionStatistic
	isAccessibleForFree speakable mainEntity potentialAction creator articleSection headline alternateName discussionUrl estimatedCost
	version expires sameAs about audience award isBasedOn citation contributor editor @graph`)

// unread reports the times of the recipe, which are not the canner's, and members nobody read.
func (w *writer) unread() {
	for _, name := range sortedNames(w.recipe.object()) {
		bareName := name
		for _, prefix := range prefixes[1:] {
			bareName = strings.TrimPrefix(bareName, prefix)
		}
		switch {
		case readMembers[bareName]:
		case bareName == "prepTime" || bareName == "cookTime" || bareName == "totalTime" || bareName == "performTime":
			if w.out.Request.Recipe.Process == nil || w.out.Request.Recipe.Process.Time == nil {
				text, at := w.recipe.child(name, w.recipe.object()[name]).text()
				w.notUnderstood(at, text, "This is the time in the kitchen; it is never taken for the time of processing.")
			}
		case w.recipe.object()[name] == nil:
		default:
			w.notUnderstood(w.recipe.child(name, nil).at(), "", "This member was not read.")
		}
	}
}
