package handover

import "strings"

// SourcesMarkdown is 'Published values and where they are used' as it stands in
// SOURCES.md: every constant of the engine and every default of the
// policy, with where it comes from. The same bytes each time.
func SourcesMarkdown() string {
	var b strings.Builder
	b.WriteString("*Published*: in a document that is named. *Common practice*: what many units do, without one source. " +
		"*Own fit*: fitted for this tool on the data named. *Invented*: made up here; a unit sets its own. " +
		"*From memory*: no document was opened, so it is not cited. *Definition*: true by the meaning of the words. " +
		"A test finds every number of the engine in these tables.\n")
	for _, g := range Constants {
		b.WriteString("\n## " + g.Title + "\n\n| what | value | used for | mark | source | in the code |\n|---|---|---|---|---|---|\n")
		for _, c := range g.Constants {
			tableRow(&b, c.Name, c.Value, c.Use, string(c.Origin), c.source(), "`"+strings.Join(c.In, "`, `")+"`")
		}
	}
	b.WriteString("\n## Defaults of the policy\n\nA unit's own policy stands in place of each of them.\n\n" +
		"| key | default | mark | note |\n|---|---|---|---|\n")
	for _, k := range policyKeys {
		if k.initial != "" {
			tableRow(&b, "`"+k.path+"`", "`"+k.initial+"`", string(k.origin), k.why)
		}
	}
	return b.String()
}

// source never lets a value from memory pass for a cited one.
func (c Constant) source() string {
	if c.Origin == FromMemory {
		return "none opened; to be held against: " + c.Source
	}
	return c.Source
}

func tableRow(b *strings.Builder, cells ...string) {
	for _, c := range cells {
		b.WriteString("| " + strings.ReplaceAll(c, "|", `\|`) + " ")
	}
	b.WriteString("|\n")
}
