package guide

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/fhir"
	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// pagesFolder is where a FHIR package keeps what is no resource.
const pagesFolder = "package/other/"

// longestShown is how long an example may be, in bytes, to stand on its page.
const longestShown = 16 << 10

// Pages are the profiles of the package as Markdown, for people: one page each, with
// what it asks of every element, the codes that it is bound to and its example, and an
// index. They say nothing that the package does not, and stand in a folder of it.
func Pages(p *handover.Policy, shown []*r4.Resource) ([]fhir.File, error) {
	examples := map[string]*r4.Resource{}
	for _, r := range exampled(p, shown) {
		examples[ProfileOf(p, r)] = r
	}
	index := pageHead("Profiles") + "| profile | type | stands on | what |\n|---|---|---|---|\n"
	var files []fhir.File
	page := func(id, kind, on, title, says, text string) {
		index += fmt.Sprintf("| [%s](%s.md) | %s | %s | %s |\n", id, id, kind, on, cell(says))
		files = append(files, fhir.File{Name: pagesFolder + id + ".md",
			Content: []byte(pageHead(title) + says + "\n\n" + text)})
	}
	for _, s := range profiles {
		example, err := exampleText(examples[p.FHIR.Base+profilePath+s.id])
		if err != nil {
			return nil, err
		}
		on := "R4"
		if s.base != "" {
			on = fmt.Sprintf("[%s](%s.md)", s.base, s.base)
		}
		page(s.id, s.kind, on, s.title, s.says,
			pageText(p, s.id, s.kind, on, s.differential(p), s.snapshot(p))+example)
	}
	carry := carryDefinition(p).Model.Body.(*models.StructureDefinition)
	page(r4.CareEntry.Code, "Extension", "R4", carryTitle, carrySays,
		pageText(p, r4.CareEntry.Code, "Extension", "R4", carry.Differential.Element, carry.Snapshot.Element))
	index += "\n" + mustSupportSays + "\n\n" + copyrights + "\n"
	return append(files, fhir.File{Name: pagesFolder + "README.md", Content: []byte(index)}), nil
}

func pageHead(title string) string { return "# " + title + "\n\n*" + r4.Caution + "*\n\n" }

// pageText is what a profile says of its elements, else what R4 calls them in the
// snapshot, and the codes of the value sets that it names.
func pageText(p *handover.Policy, id, kind, on string, elements, whole []models.ElementDefinition) string {
	var b strings.Builder
	fmt.Fprintf(&b, "- address: `%s%s%s`\n- version: %s\n- type: %s\n- stands on: %s\n\n| element | how often | what |\n|---|---|---|\n",
		p.FHIR.Base, profilePath, id, r4.OwnSystemVersion, kind, on)
	var sets []string
	for _, e := range elements[1:] {
		if strings.HasSuffix(*e.Id, ":own.system") {
			continue // the row of the coding says it
		}
		often := "never"
		if e.Max != nil && *e.Max != "0" {
			often = fmt.Sprintf("%d to %s", *e.Min, strings.ReplaceAll(*e.Max, "*", "many"))
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", strings.TrimPrefix(*e.Id, kind+"."), often,
			cell(cmp.Or(elementSays(e), *whole[indexOf(whole, *e.Id)].Short)))
		if e.Binding != nil && !slices.Contains(sets, *e.Binding.ValueSet) {
			sets = append(sets, *e.Binding.ValueSet)
		}
	}
	for _, set := range sets {
		b.WriteString(setText(strings.TrimPrefix(set, p.FHIR.Base+r4.ValueSetPath)))
	}
	return b.String()
}

// elementSays is what a profile says of one element, in words.
func elementSays(e models.ElementDefinition) string {
	var out []string
	for _, t := range e.Type {
		said := t.Code
		for n, to := range append(t.TargetProfile, t.Profile...) {
			said += [2]string{" to ", " or "}[min(n, 1)] + to[strings.LastIndexByte(to, '/')+1:]
		}
		out = append(out, said)
	}
	if len(out) > 0 {
		out = []string{strings.Join(out, ", or ")}
	}
	codings := func(all ...models.Coding) {
		for _, c := range all {
			out = append(out, "`"+*c.Code+"` of "+*c.System)
		}
	}
	if c := e.PatternCodeableConcept; c != nil {
		codings(c.Coding...)
	}
	if e.PatternCoding != nil {
		codings(*e.PatternCoding)
	}
	if e.PatternCode != nil {
		out = append(out, "`"+*e.PatternCode+"`")
	}
	if q := e.PatternQuantity; q != nil {
		out = append(out, strings.TrimSpace("a unit of "+*q.System+" "+r4.StringOf(q.Code)))
	}
	if e.FixedUri != nil {
		out = append(out, "`"+*e.FixedUri+"`")
	}
	if e.Slicing != nil {
		out = append(out, "told apart by "+e.Slicing.Discriminator[0].Path)
	}
	if e.Binding != nil {
		set := (*e.Binding.ValueSet)[strings.LastIndexByte(*e.Binding.ValueSet, '/')+1:]
		out = append(out, fmt.Sprintf("our own code, of [%s](#%s)", set, set))
	}
	return strings.Join(out, "; ")
}

// setText are the codes of a value set.
func setText(group string) string {
	var b strings.Builder
	for _, set := range slices.Concat(profileSets, r4.ValueSets) {
		if set.Group != group {
			continue
		}
		fmt.Fprintf(&b, "\n## %s\n\n| code | what |\n|---|---|\n", group)
		for _, c := range set.Concepts {
			fmt.Fprintf(&b, "| `%s` | %s |\n", c.Code, cell(c.Meaning))
		}
	}
	return b.String()
}

// exampleText is the example of a profile; empty where there is none.
func exampleText(r *r4.Resource) (string, error) {
	if r == nil {
		return "", nil
	}
	head := fmt.Sprintf("\n## Example\n\n`package/example/%s`, of an invented ward", fileName(r))
	if len(r.JSON) > longestShown {
		return head + ".\n", nil
	}
	var out bytes.Buffer
	if err := json.Indent(&out, r.JSON, "", "  "); err != nil {
		return "", err
	}
	return head + ":\n\n```json\n" + out.String() + "\n```\n", nil
}

// cell is text as a cell of a table.
func cell(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
