package read

import (
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// offered is a resource as it was offered.
type offered struct {
	*r4.Part
	ordinal int
	kind    string
	url     string // its fullUrl
	carries bool   // the text of an entry

	document bool // the Composition of one of ours
}

// shown is text of a file, or a key of the command line, as an error tells it: it may be a name.
func shown(s string) string { return entry.NewText(s).Shown() }

// codings are the codes of a concept, each with its system.
func codings(concept *r4.Part) []string {
	var out []string
	for _, x := range concept.List("coding") {
		out = append(out, x.Text("system")+"|"+x.Text("code"))
	}
	return out
}

// identifiers are those of a resource, which has one or a list of them.
func identifiers(n *r4.Part) []*r4.Part {
	if one := n.At("identifier"); one != nil && one.Kind == r4.Object {
		return []*r4.Part{one}
	}
	return n.List("identifier")
}

const kilograms = "kg" // UCUM

// thousandfold moves the point of a decimal three places on.
func thousandfold(s string) string {
	whole, fraction, _ := strings.Cut(s, ".")
	for len(fraction) < 3 {
		fraction += "0"
	}
	whole = strings.TrimLeft(whole+fraction[:3], "0")
	if fraction = fraction[3:]; fraction != "" {
		fraction = "." + fraction
	}
	if whole == "" {
		whole = "0"
	}
	return whole + fraction
}
