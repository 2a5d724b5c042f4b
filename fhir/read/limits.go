package read

import (
	"fmt"
	"strconv"
	"strings"

	"cotline/fhir/internal/r4"
)

// What a text may hold, so that a hostile one costs neither memory nor time. A value
// that is read takes 72 bytes, and as much room again; names are looked for one by one.
// Bundles have a value in every 26 bytes or so, so that 128 MiB of them are read; no
// element of R4 has 256 members.
const (
	mostValues    = 6 << 20 // in all texts
	mostNames     = 256     // in one object
	mostResources = 1 << 20 // of 128 bytes each, in 128 MiB
	longestName   = 64      // bytes; the longest of R4 has 33
	mostTwice     = 50      // names that stand twice, told
)

// tooMuch says of what a text holds more than is read, before anything is made of it,
// and adds its values to those counted before. It goes by the marks between values; all
// it knows of JSON is where a string ends.
func tooMuch(text []byte, values *int) string {
	var names [r4.Deepest + 2]int
	depth := 0
	*values++
	quoted, long, from := false, false, 0
	for i := 0; i < len(text); i++ {
		switch b := text[i]; {
		case quoted:
			if b == '\\' {
				i++
			}
			if quoted = b != '"'; !quoted {
				long = i-from > longestName
			}
		case b == '"':
			quoted, from = true, i+1
		case b == '{' || b == '[':
			*values++
			if depth++; depth > r4.Deepest {
				return fmt.Sprintf("at most %d levels", r4.Deepest)
			}
			names[depth] = 0
		case b == '}' || b == ']':
			depth = max(depth-1, 0)
		case b == ',':
			*values++
		case b == ':':
			if long {
				return fmt.Sprintf("names of at most %d bytes", longestName)
			}
			if names[depth]++; names[depth] > mostNames {
				return fmt.Sprintf("at most %d names in an object", mostNames)
			}
		}
		if *values > mostValues {
			return fmt.Sprintf("at most %d values: send it in parts", mostValues)
		}
	}
	return ""
}

// legible is a path with names that somebody else chose, fit for one line.
func legible(path string) string {
	const most = 200
	s := strconv.QuoteToGraphic(strings.ToValidUTF8(path, "\ufffd"))
	if s = s[1 : len(s)-1]; len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "…"
	}
	return s
}

// misspelt says whether a type is one of R4 but for its capitals.
func misspelt(kind string) bool {
	for _, is := range r4.ResourceTypes() {
		if strings.EqualFold(is, kind) {
			return is != kind
		}
	}
	return false
}
