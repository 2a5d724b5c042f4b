package sheets

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Choice is an infant to choose on the sheet of rounds.
type Choice struct{ Shown, Key string }

// Choices are the infants of a handover as "cot · number", or with their names as "cot · name · number".
func Choices(h *handover.Handover, names bool) []Choice {
	var out []Choice
	for _, s := range h.Infants {
		parts := []string{s.Cot, numberOrLabel(s.MRN, s.Temporary)}
		if n := name(s); names && n.show == showText {
			parts = []string{s.Cot, n.text, numberOrLabel(s.MRN, s.Temporary)}
		}
		out = append(out, Choice{strings.Join(parts, " · "), s.Infant})
	}
	return out
}

// Template writes a workbook to chart into: first a sheet of rounds, a row an infant's round, and the infants to choose
// from; how to fill it in and an example; behind them a sheet a kind of entry and the lists. Each row has an id of its own
// ready, from newID. At is when it is made, for the document's properties.
//
// The row of names above the first entry is what cotline chart reads; what stands above it is for people.
func Template(w io.Writer, p *handover.Policy, infants []Choice, newID func() string, at time.Time, version string) error {
	unit := strings.ReplaceAll(p.Unit, "&", "&&")
	footer := "&L&8 " + unit + "&C&8 Confidential: aid to handover, look at the infant&R&8 &A, page &P of &N"
	if n := units(footer); n > mostFooter {
		return fmt.Errorf("template: the unit's name is too long for a page's footer by %d characters", n-mostFooter)
	}
	b := newBook(p.Unit+". "+templateCaution, footer)
	b.document = "Sheets to chart into"
	defer b.file.Close() // nothing is left to lose once it is written or failed
	l := newLists(p)
	l.infants = len(infants)
	if err := b.addForm(roundSheet(p), l, newID); err != nil {
		return err
	}
	for _, s := range []sheet{infantsSheet(infants), startSheet(p), exampleSheet(p)} {
		if err := b.add(s); err != nil {
			return err
		}
	}
	for i := range entry.Kinds {
		k := &entry.Kinds[i]
		title := strings.TrimSuffix(k.Label+": "+k.Help, ": ")
		if err := b.addForm(formSheet{k.Label, title, k.Name, inputs(k, p)}, l, newID); err != nil {
			return err
		}
	}
	if err := b.add(l.sheet()); err != nil {
		return err
	}
	return b.finish(w, at, version)
}

// infantsSheet is the list to choose from. cotline chart reads which key a choice is of.
func infantsSheet(infants []Choice) sheet {
	s := table("Infants", "No infant is listed: cotline template --infants lists those of the record.", slices.Values(infants),
		func(c Choice) string { return "infant " + c.Key },
		column[Choice]{"choice", 50, func(c Choice) cell { return text(c.Shown, none) }},
		column[Choice]{"infant", 30, func(c Choice) cell { return text(c.Key, none) }},
	)
	s.keep, s.full = 1, true
	return s
}

const templateCaution = "Aid to handover: not a device, a monitor or an order. Look at the infant."

// startSheet says how to fill the workbook in, and what each sheet is for.
func startSheet(p *handover.Policy) sheet {
	type line struct{ what, how string }
	lines := []line{
		{"Caution", longCaution},
		{"Sheet Round", "A row is one infant's round: it becomes the entries that it means. Choose the infant, give time and nurse " +
			"once, and fill in what was seen, set or done. An empty cell says nothing: not charted, never normal or none."},
		{"Written down", "Once a row says as it happened, it and the rows below were written down when they happened; else when " +
			"they are taken into the record."},
		{"Skin", "A cell a site: ok is intact, empty is not seen; All others intact says it of every site that the row leaves empty. " +
			"After a comma what else is seen, as blanching, dry."},
		{"Other sheets", "One thing that was done or seen a row, on the sheet of its kind."},
		{"Infant", "Chosen from sheet Infants, or the record's own key, as on the handover (record key); never the hospital number."},
		{"Happened", "Date and time of the clock in " + p.Zone.String() +
			", as 2026-03-09 07:30. In the hour that the clock shows twice or skips, the moment with its offset: " +
			"2026-03-09T07:30:00+01:00."},
		{"By", "The staff key of who charted it."},
		{"Numbers", "As a number, in the unit above the column. What the cell shows is what is taken: to keep 5.0, give the cell the " +
			"format 0.0."},
		{"Several words", "With commas between."},
		{"id and kind, in grey", "Ready in each row; leave them as they are. Each id is used once, for good: chart the same file " +
			"again and nothing is added twice; copy no row onto another."},
		{"More rows", "Make another template. A row without an id is refused."},
		{"When it is filled in", "cotline chart FILE.xlsx: all of it is taken, or nothing and each fault is told by sheet, row and " +
			"column. The names in the row above the first entry are what it reads: leave them."},
		{"What is not taken", "Formulas, merged cells, numbers shown as percentages or with units, dates shown in part. Hidden rows " +
			"and sheets are taken, and told."},
		{"Confidential", "Identifies infants. Keep, share and destroy this file by your unit's rules for records."},
	}
	for _, k := range entry.Kinds {
		help := k.Help
		if help == "" {
			help = "its fields: " + fieldNames(&k)
		}
		lines = append(lines, line{"Sheet " + k.Label, help})
	}
	s := table("Start", "", slices.Values(lines), func(l line) string { return l.what },
		column[line]{"What", 24, func(l line) cell { return word(l.what) }},
		column[line]{"How", 90, func(l line) cell { return word(l.how) }},
	)
	s.keep, s.printed = 1, len(s.heads)
	return s
}

func fieldNames(k *entry.Kind) string {
	var out []string
	for _, s := range k.Fields {
		out = append(out, strings.ToLower(s.Label[:1])+s.Label[1:])
	}
	return strings.Join(out, ", ")
}

// lists are the words to choose from: those of the kinds, and the unit's own.
type lists struct {
	policy  *handover.Policy
	infants int               // listed on their own sheet
	rows    [][2]string       // list and word
	ranges  map[string]string // by the words of a list
}

func newLists(p *handover.Policy) *lists { return &lists{policy: p, ranges: map[string]string{}} }

const listsName = "Lists"

// of is where the words of a field stand, and whether others are refused; empty where it takes any.
func (l *lists) of(kind string, in *input) (ref string, only bool) {
	var words []string
	s := &in.spec
	only = true
	switch {
	case in.name == "infant" && l.infants > 0:
		return fmt.Sprintf("Infants!$A$%d:$A$%d", headerRow+1, headerRow+l.infants), false
	case in.words != nil:
		words, only = in.words, false
	case s.Type == entry.Flag:
		words = []string{"yes", "no"}
	case s.Type == entry.Word && s.List == "care":
		words = l.policy.AllCares()
	case s.Type == entry.Word:
		words = s.Words
	case s.Name == "by":
		only = false // a nurse of another unit may help
		for _, m := range l.policy.Staff {
			words = append(words, m.Key)
		}
	case s.List == "size":
		for _, typ := range entry.InterfaceTypes {
			for _, size := range l.policy.Sizes[typ] {
				if !slices.Contains(words, size) {
					words = append(words, size)
				}
			}
			only = only && (typ == "off" || len(l.policy.Sizes[typ]) > 0)
		}
	case s.List == "safety":
		words = l.policy.Checks
	case s.List == "bonnet":
		for _, b := range l.policy.Bonnets {
			words = append(words, b.Name)
		}
	}
	if len(words) == 0 {
		return "", false
	}
	key := strings.Join(words, "\n")
	if l.ranges[key] == "" {
		first := headerRow + 1 + len(l.rows)
		for _, w := range words {
			l.rows = append(l.rows, [2]string{strings.TrimPrefix(kind+": "+in.label, ": "), w})
		}
		l.ranges[key] = fmt.Sprintf("%s!$B$%d:$B$%d", listsName, first, headerRow+len(l.rows))
	}
	return l.ranges[key], only
}

func (l *lists) sheet() sheet {
	return table(listsName, "", slices.Values(l.rows), func(r [2]string) string { return r[0] },
		column[[2]string]{"List", 40, func(r [2]string) cell { return word(r[0]) }},
		column[[2]string]{"Word", 40, func(r [2]string) cell { return text(r[1], none) }},
	)
}
