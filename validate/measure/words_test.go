package measure

import (
	"fmt"
	"strings"
	"testing"
)

func ExampleJoinAnd() {
	fmt.Println(JoinAnd([]string{"vinegar", "water", "salt"}))
	fmt.Println(JoinAnd([]string{"vinegar", "water"}))
	fmt.Println(JoinAnd([]string{"vinegar"}))
	// Output:
	// vinegar, water and salt
	// vinegar and water
	// vinegar
}

func ExampleJoinOr() {
	fmt.Println(JoinOr([]string{"pint", "quart", "half-pint"}))
	// Output: pint, quart or half-pint
}

func ExampleCapital() {
	fmt.Println(Capital("écrasé") + Capital(""))
	// Output: Écrasé
}

func ExampleNearestName() {
	units := []string{"cup", "pint", "tablespoon"}
	fmt.Println(NearestName("Tablspoon", units))
	fmt.Println(NearestName("pinta", units))
	// Output:
	// tablespoon
	// pint
}

func TestJoinOfNothingIsEmpty(t *testing.T) {
	if text := JoinAnd(nil) + JoinOr(nil); text != "" {
		t.Errorf("no words are listed as %q", text)
	}
}

func TestNearestNameIsAThirdOfTheLettersAwayAtMost(t *testing.T) {
	known := []string{"boiling_water", "headspace", "jar", "jars", "keep", "pack"}
	for _, test := range []struct{ name, wrong, want string }{
		{"a sign put in", "head_space", "headspace"},
		{"letters of the other case", "headSpace", "headspace"},
		{"all in capitals", "JAR", "jar"},
		{"a letter too many", "jarss", "jars"},
		{"another sign", "boiling-water", "boiling_water"},
		{"a plural", "keeps", "keep"},
		{"one letter of three", "jax", "jar"},
		{"two letters of four", "kexx", ""},
		{"the first of two as near", "pars", "jars"},
		{"another word", "zebra", ""},
		{"nothing", "", ""},
		{"a single letter", "x", ""},
		{"two letters, one of them wrong", "jx", ""},
		{"100 letters", strings.Repeat("j", 100), ""},
		{"more letters than are compared", strings.Repeat("jar", 100), ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := NearestName(test.wrong, known); got != test.want {
				t.Errorf("nearest to %q is %q, want %q", test.wrong, got, test.want)
			}
		})
	}
	t.Run("a long name is compared up to 100 letters", func(t *testing.T) {
		long := strings.Repeat("a", 100)
		if got := NearestName(long, []string{long}); got != long {
			t.Errorf("a name of 100 letters is not near to itself")
		}
		if got := NearestName(long+"a", []string{long}); got != "" {
			t.Errorf("a name of 101 letters was compared")
		}
	})
	t.Run("the first of equals wins", func(t *testing.T) {
		if got := NearestName("cub", []string{"cup", "cud", "cube"}); got != "cup" {
			t.Errorf("nearest is %q, want the first", got)
		}
	})
}
