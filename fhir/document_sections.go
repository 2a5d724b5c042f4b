package fhir

import (
	"slices"
	"strings"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// section is a part of every document. What entries yield stands where yields says.
type section struct {
	r4.Concept
	name  string                   // of its words
	kinds []string                 // of the other resources that stand there
	lines func(*document) []string // of one that has no words, for it tells of resources
}

// sections in the order in which they are read: what needs a person, what is so, what
// comes, what changed, and what is not known of it.
var sections = []section{
	{r4.SectionFirst, "first", nil, nil},
	{r4.SectionSupport, "support", []string{"window"}, nil},
	{r4.SectionSigns, "signs", nil, nil},
	{r4.SectionSkin, "skin", nil, nil},
	{r4.SectionDevices, "devices", []string{"device"}, nil},
	{r4.SectionGrowth, "growth", []string{"age"}, nil},
	{r4.SectionWords, "words", nil, nil},
	{r4.SectionDue, "due", []string{"due", "task", "plan"}, nil},
	{r4.SectionChanges, "changes", nil, nil},
	{r4.SectionMind, "mind", []string{"flag"}, nil},
	{r4.SectionAmended, "", []string{"correction"}, (*document).corrections},
	{r4.SectionEntries, "", []string{"entry"}, (*document).carried},
}

// SectionNames are the sections that Words tell, in their order.
func SectionNames() (out []string) {
	for _, s := range sections {
		if s.name != "" {
			out = append(out, s.name)
		}
	}
	return out
}

// SectionCount is how many sections a document has, always.
func SectionCount() int { return len(sections) }

// needsSomebody begins a line of what needs a person now, on every face.
const needsSomebody = "!! "

// section tells in words, and leads to its resources.
func (d *document) section(of section) models.CompositionSection {
	lines := d.words[of.name]
	if of.lines != nil {
		lines = of.lines(d)
	}
	if len(lines) == 0 {
		lines = []string{r4.NothingToTell}
	}
	p := r4.NewProse()
	for _, line := range lines {
		if strings.HasPrefix(line, needsSomebody) {
			p.Strong(line)
		} else {
			p.Line(line)
		}
	}
	out := models.CompositionSection{Title: r4.Ptr(of.Text), Code: d.codes.Concept(of.Concept), Text: p.Done()}
	for _, all := range [][]*r4.Resource{d.held, d.computed} {
		for _, r := range all {
			if kind := sectionOf(r); slices.Contains(of.kinds, kind) || yields[kind].section.Code == of.Code {
				out.Entry = append(out.Entry, *r4.Literal(r.Type, r.ID))
			}
		}
	}
	return out
}

// sectionOf is the kind by which a resource is put into a section. A Device stands with
// the devices, whether it is shared or not; the Patient stands in none, because the
// whole document is about that infant.
func sectionOf(r *r4.Resource) string {
	if r.Type == "Device" {
		return "device"
	}
	return r.Kind
}
