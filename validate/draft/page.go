package draft

import (
	"bytes"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"jarwright/validate/ingest"
)

// HTML reads a web page and drafts the first recipe of its JSON-LD blocks. Nothing that the page refers to is fetched.
// Blocks that are no JSON are passed over as browsers do, and reported.
func (r *Reader) HTML(page []byte) (Draft, *ingest.Problem) {
	if len(page) > MaxPageBytes {
		return Draft{}, ingest.TooLong(len(page), MaxPageBytes)
	}
	blocks := jsonBlocks(page)
	var broken []float64
	for i, block := range blocks {
		root, problem := ingest.Value(repaired(block), MaxPageBytes)
		if problem != nil {
			broken = append(broken, float64(i))
			continue
		}
		nodes := recipes(root)
		if len(nodes) == 0 {
			continue
		}
		index := float64(i)
		found, problem := r.draft(nodes, &index)
		if problem == nil && len(broken) > 0 {
			found.NotUnderstood = append(found.NotUnderstood, Note{At: "", What: "A JSON-LD block of the page before this one is not JSON and was passed over."})
		}
		return found, problem
	}
	detail := "The page has no JSON-LD block with a schema.org Recipe."
	if len(broken) > 0 {
		detail = "The page has no readable JSON-LD block with a schema.org Recipe; some of its blocks are not JSON."
	}
	return Draft{}, ingest.Unusable("", CodeNoRecipe, detail)
}

// jsonBlocks gives the texts of the page's scripts of type application/ld+json, in order.
func jsonBlocks(page []byte) [][]byte {
	var blocks [][]byte
	tokens := html.NewTokenizer(bytes.NewReader(page))
	inside := false
	for {
		switch tokens.Next() {
		case html.ErrorToken:
			return blocks
		case html.StartTagToken:
			name, hasAttributes := tokens.TagName()
			inside = atom.Lookup(name) == atom.Script && hasAttributes && isJSONLD(tokens)
			if inside {
				blocks = append(blocks, nil)
			}
		case html.TextToken:
			if inside {
				blocks[len(blocks)-1] = append(blocks[len(blocks)-1], tokens.Text()...)
			}
		case html.EndTagToken:
			inside = false
		}
	}
}

func isJSONLD(tokens *html.Tokenizer) bool {
	for {
		key, value, more := tokens.TagAttr()
		if string(key) == "type" {
			kind, _, _ := strings.Cut(string(value), ";")
			return strings.EqualFold(strings.TrimSpace(kind), "application/ld+json")
		}
		if !more {
			return false
		}
	}
}

// repaired undoes what pages often do to JSON: comments or CDATA marks around it, and raw line breaks and tabs inside strings.
func repaired(block []byte) []byte {
	text := bytes.TrimSpace(block)
	for _, mark := range []string{"<!--", "//<![CDATA[", "/*<![CDATA[*/", "<![CDATA["} {
		text = bytes.TrimSpace(bytes.TrimPrefix(text, []byte(mark)))
	}
	for _, mark := range []string{"-->", "//]]>", "/*]]>*/", "]]>", ";"} {
		text = bytes.TrimSpace(bytes.TrimSuffix(text, []byte(mark)))
	}
	if !bytes.ContainsAny(text, "\n\r\t") {
		return text
	}
	repaired := make([]byte, 0, len(text))
	inString, escaped := false, false
	for _, c := range text {
		if inString && c < ' ' {
			switch c {
			case '\n':
				repaired = append(repaired, '\\', 'n')
			case '\r':
			default:
				repaired = append(repaired, ' ')
			}
			escaped = false
			continue
		}
		switch {
		case escaped:
			escaped = false
		case c == '\\':
			escaped = inString
		case c == '"':
			inString = !inString
		}
		repaired = append(repaired, c)
	}
	return repaired
}
