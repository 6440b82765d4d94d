package main

import (
	"encoding/json"
	"fmt"
	"strings"
)

// The cost gate: no body of any operation costs more than the issue allows, and no cost grows faster than the body. What is sent is
// generated: each member of each schema, filled with each text of a list of repetitions, at one, two, four and eight times the length.
//
//	go test ./cmd/jarwright -run CostGate                  the texts of the issue, in seconds
//	go test ./cmd/jarwright -run CostGate -args -cost      every text in every form of answer, in minutes

// bytesOfList is a list of empty objects that takes so many bytes.
func bytesOfList(length int) json.RawMessage { return listOf("{}", length) }

// listOf is a list of one value, so many bytes long at most.
func listOf(value string, length int) json.RawMessage {
	return json.RawMessage("[" + strings.Repeat(value+",", max(0, length/(len(value)+1)-2)) + value + "]")
}

// shapesOfDrafts are documents that no schema describes, as anybody may publish what they like.
func shapesOfDrafts() []growing {
	var all []growing
	linked := func(name string, body func(length int) []byte) {
		all = append(all, growing{
			name: "draft: " + name, letter: letter{target: "/v1/drafts?report=true", mediaType: asLinked}, body: body, longest: mostBody, most: mostDraftCPU,
		})
	}
	join := func(before, part, last, after string) func(int) []byte {
		return func(length int) []byte {
			times := max(0, (length-len(before)-len(last)-len(after))/len(part))
			return []byte(before + strings.Repeat(part, times) + last + after)
		}
	}
	recipe := `{"@type":"Recipe","recipeIngredient":["1 lb carrots"],`
	linked("nodes", join("[", "{},", "{}", "]"))
	linked("nulls", join("[", "null,", "{}", "]"))
	linked("recipes", join("[", `{"@type":"Recipe"},`, "{}", "]"))
	linked("recipes with lines", join("[", `{"@type":"Recipe","recipeIngredient":["1 lb carrots"]},`, "{}", "]"))
	linked("types", join(`{"recipeIngredient":["a"],"@type":[`, `"a",`, `"Recipe"`, "]}"))
	linked("a long name over nodes", func(length int) []byte {
		return append(append([]byte(`{"`+strings.Repeat("n", length/2-10)+`":`), bytesOfList(length/2-10)...), '}')
	})
	linked("a long name over lines", func(length int) []byte {
		name := strings.Repeat("n", length/2-100)
		return join(`{"`+name+`":{"@type":"Recipe","recipeIngredient":[`, `"a",`, `"a"`, "]}}")(length - 10)
	})
	linked("a long name over steps", func(length int) []byte {
		name := strings.Repeat("n", length/2-100)
		return join(`{"`+name+`":`+recipe+`"recipeInstructions":[`, `"Boil.",`, `"Boil."`, "]}}")(length - 10)
	})
	linked("a name of slashes over nodes", func(length int) []byte {
		return append(append([]byte(`{"`+strings.Repeat("/", length/2-10)+`":`), bytesOfList(length/2-10)...), '}')
	})
	linked("names over names", func(length int) []byte {
		const deep = 14
		name := strings.Repeat("n", length/2/deep-10)
		return []byte(strings.Repeat(`{"`+name+`":[{},`, deep) + strings.TrimSuffix(strings.TrimPrefix(string(bytesOfList(length/2-100)), "["),
			"]") + strings.Repeat("]}", deep))
	})
	linked("members", func(length int) []byte {
		var text strings.Builder
		text.WriteString(recipe)
		for n := 0; text.Len() < length-40; n++ {
			fmt.Fprintf(&text, "%q:1,", lettersOf(n, 5))
		}
		return append([]byte(text.String()), `"a":1}`...)
	})
	for _, each := range []struct{ name, before, part, last, after string }{
		{"short lines", `{"@type":"Recipe","recipeIngredient":[`, `"a",`, `"a"`, "]}"},
		{"lines", `{"@type":"Recipe","recipeIngredient":[`, `"1 lb carrots, cut",`, `"a"`, "]}"},
		{"lines of lists", `{"@type":"Recipe","recipeIngredient":[`, `["a"],`, `"a"`, "]}"},
		{"steps", recipe + `"recipeInstructions":[`, `"Boil 10 minutes.",`, `"a"`, "]}"},
		{"steps that are objects", recipe + `"recipeInstructions":[`, `{"@type":"HowToStep","text":"Process 10 minutes."},`, `"a"`, "]}"},
		{"sections", recipe + `"recipeInstructions":[`, `{"@type":"HowToSection","itemListElement":[{"text":"Boil."}]},`, `"a"`, "]}"},
		{"yields", recipe + `"recipeYield":[`, `"4 pint jars",`, `"a"`, "]}"},
		{"yields near zero", recipe + `"recipeYield":[`, `5e-324,`, `"a"`, "]}"},
		{"yields of numbers", recipe + `"recipeYield":[`, `4,`, `"a"`, "]}"},
		{"names", recipe + `"name":[`, `"Carrots",`, `"a"`, "]}"},
		{"lists in lists", recipe + `"recipeInstructions":[`, `{"@list":[{"@set":["a"]}]},`, `"a"`, "]}"},
		{"ingredients by another name", recipe + `"ingredients":[`, `"1 lb carrots",`, `"a"`, "]}"},
		{"tools", recipe + `"tool":[`, `{"@type":"HowToTool","name":"a jar"},`, `"a"`, "]}"},
	} {
		linked(each.name, join(each.before, each.part, each.last, each.after))
	}
	return append(all, pages(join)...)
}

// pages are web pages: markup without end, many scripts, one long one.
func pages(join func(before, part, last, after string) func(int) []byte) []growing {
	var all []growing
	page := func(name string, body func(length int) []byte) {
		l := letter{target: "/v1/drafts?report=true", mediaType: asHTML}
		all = append(all, growing{name: "page: " + name, letter: l, body: body, longest: mostBody, most: mostDraftCPU})
		if *cost {
			all = append(all, growing{name: "page of 4 MiB: " + name, letter: l, body: body, longest: mostPage, most: mostPageCPU})
		}
	}
	script := `<script type="application/ld+json">`
	recipe := string(inPage(published("1 lb carrots", "Boil.")))
	for _, part := range []string{
		"<", "<a", "<a ", "<a b ", "<a b=", "<a b=\"", "</", "</a>", "<!", "<!--", "<!-- -->", "<!-- <", "<![CDATA[", "<?", "&", "&amp;", "&#", "<p>", "<div>",
		"<b>", "<table>", "<svg>",
		"<script>", "</script>", script, script + "{}</script>", script + "[]</script>", script + "{</script>", "<script type=\"application/ld+json\"",
		"<template>", "<select>", "<a><table>",
		"<textarea>", "<title>", "<style>", "<noscript>", "<li itemprop=recipeIngredient>a", "<script", "<SCRIPT type=application/ld+json>", "<frameset>", "a ",
		"\x00", "\xff", "<form><p>",
	} {
		page(fmt.Sprintf("%q", part), join(recipe, part, "", ""))
		page(fmt.Sprintf("%q first", part), join("<!doctype html>", part, "", recipe))
	}
	for n, each := range repetitionsOfAll() {
		if *cost && n%7 != 0 {
			continue // lines and steps are read as those of a document
		}
		page(fmt.Sprintf("a line of %q", each.head+each.part), func(length int) []byte { return shrunk(length, each, true) })
		page(fmt.Sprintf("a step of %q", each.head+each.part), func(length int) []byte { return shrunk(length, each, false) })
	}
	page("recipes", join("", script+`{"@type":"Recipe","recipeIngredient":["a"]}</script>`, "", ""))
	return all
}

// shrunk is a page with one long text in it, made shorter until the page is as long as it may be.
func shrunk(length int, each repetition, line bool) []byte {
	for size := length; ; size = size * 8 / 10 {
		text := repeated(each.head, each.part, size)
		recipe := map[string]any{"@type": "Recipe", "recipeIngredient": []string{text}, "recipeInstructions": "Boil."}
		if !line {
			recipe["recipeIngredient"], recipe["recipeInstructions"] = []string{"1 lb carrots"}, text
		}
		if page := inPage(encoded(recipe)); len(page) <= length || size < 100 {
			return page
		}
	}
}
