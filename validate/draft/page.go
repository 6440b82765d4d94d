package draft

import (
	"bytes"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
)

// maxBlockBytes is the longest JSON-LD block that is read. Those of recipes with hundreds of reviews have some 300 KiB.
const maxBlockBytes = 1 << 20

// HTML reads a web page and drafts the first recipe of its JSON-LD blocks. Nothing that the page refers to is fetched.
// Blocks that are no JSON are passed over as browsers do, and reported.
func (r *Reader) HTML(b *budget.Budget, page []byte) (Draft, *ingest.Problem) {
	if len(page) > MaxPageBytes {
		return Draft{}, ingest.TooLong(len(page), MaxPageBytes)
	}
	if !b.SpendText(len(page)) {
		return Draft{}, ingest.TooCostly(b.Err())
	}
	blocks := jsonBlocks(page)
	var broken []float64
	hidden := 0
	for i, block := range blocks {
		root, problem := value(b, repaired(block), maxBlockBytes)
		if b.Err() != nil {
			return Draft{}, ingest.TooCostly(b.Err())
		}
		if problem != nil {
			broken = append(broken, float64(i))
			continue
		}
		nodes, below := recipes(b, root)
		if hidden += below; len(nodes) == 0 {
			continue
		}
		index := float64(i)
		found, problem := r.draft(b, nodes, &index)
		if problem == nil && len(broken) > 0 {
			found.NotUnderstood = append(found.NotUnderstood, Note{At: "", What: "A JSON-LD block of the page before this one is not JSON and was passed over."})
		}
		return found, problem
	}
	detail := "The page has no JSON-LD block with a schema.org Recipe."
	if len(broken) > 0 {
		detail = "The page has no readable JSON-LD block with a schema.org Recipe; some of its blocks are not JSON."
	}
	return Draft{}, noRecipe(b, detail, hidden)
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
