package intake

import (
	"slices"
	"strings"

	"github.com/google/uuid"

	"cotline/handover/entry"
)

// round is what a table of rounds keeps from row to row.
type round struct {
	is    bool
	as    string         // how the rows are written down, until a row says otherwise
	seen  map[string]int // rows, by what stands in them but for their id
	alike [][2]int
}

// written heads the column that says how a row was written down: as it happened, and so charted then; or copied later, and
// so charted when it is taken, as where nothing is said.
const (
	written   = "written"
	asHappens = "as it happened"
	later     = "copied later"
)

// hold keeps how a row was written down; it holds for the rows below, too.
func (r *round) hold(t *table, cells []cell) {
	for _, c := range cells {
		if t.headOf(c) == written {
			r.as = strings.ToLower(strings.TrimSpace(c.text))
		}
	}
}

// roundRow makes the entries that a row means.
func (t *table) roundRow(cells []cell) {
	t.round.hold(t, cells)
	common, keys, of := t.byEntry(cells)
	switch t.round.as {
	case "", later, asHappens:
	default:
		t.add(written, entry.CodeWord, "", asHappens+", or "+later)
	}
	if len(keys) == 0 {
		t.add("", entry.CodeMissing, "", "something that was seen, set or done in this round")
		return
	}
	t.round.note(t, cells)
	base := t.begin()
	faults := t.gather(base, nil, t.chosen(common))
	row := base.value.Field("id").Text
	for n, key := range keys {
		kind, _, _ := strings.Cut(key, " ")
		k, _ := entry.KindOf(kind)
		m := t.begin()
		for _, f := range base.value.Fields {
			if f.Name == "id" {
				f.Value.Text = idOf(row, key)
			}
			m.value.Fields = append(m.value.Fields, f)
			if f.Name == "at" && t.round.as == asHappens {
				m.value.Fields = append(m.value.Fields, entry.Field{Name: "charted", Value: f.Value})
			}
		}
		m.word("kind", kind)
		own := t.gather(m, k, of[key])
		if kind == "tube" && len(own) == 0 && m.value.Field("action").Type == entry.Absent { // it was looked at
			m.word("action", "checked")
		}
		if n == 0 {
			own = append(slices.Clone(faults), own...)
		}
		t.decodeRound(m, own, n > 0)
	}
}

// byEntry parts the cells of a row: those that all its entries share, and those of each entry, by its kind and, of cares,
// by what was done; keys are in the order of the columns.
func (t *table) byEntry(cells []cell) (common []cell, keys []string, of map[string][]cell) {
	of = map[string][]cell{}
	for _, c := range cells {
		to, ok := t.targets[c.column]
		if !ok {
			if t.headOf(c) != written {
				common = append(common, c)
			}
			continue
		}
		key := to.kind
		if k, _ := entry.KindOf(to.kind); k != nil && len(to.rest) == 1 {
			if s, _ := k.Spec(to.field); s.Type == entry.Word {
				key += " " + to.rest[0]
			}
		}
		if of[key] == nil {
			keys = append(keys, key)
		}
		of[key] = append(of[key], c)
	}
	return common, keys, of
}

// decodeRound is decode of one entry of a row; what is wrong with the row itself is told with its first entry alone.
func (t *table) decodeRound(m *made, faults []entry.Issue, further bool) {
	before := len(t.offer.Issues)
	t.decode(m, faults)
	if !further {
		return
	}
	common := func(i entry.Issue) bool {
		return slices.ContainsFunc(entry.Common, func(s entry.Spec) bool { return s.Name == i.Path })
	}
	kept := slices.DeleteFunc(slices.Clone(t.offer.Issues[before:]), common)
	t.offer.Issues = append(t.offer.Issues[:before], kept...)
}

// chosen puts the record's key in the place of an infant who was chosen from the workbook's list.
func (t *table) chosen(cells []cell) []cell {
	for i, c := range cells {
		if t.headOf(c) != "infant" {
			continue
		}
		if key, ok := t.infants[plain(c.text)]; ok {
			cells[i].text = key
		} else if strings.Contains(c.text, " · ") {
			cells[i].holds, cells[i].why = holdsFault, "an infant of the list on sheet "+InfantsSheet+", as it stands there"
		}
	}
	return cells
}

// InfantsSheet is where a workbook to fill in lists the infants to choose from: under "choice" what is shown, under
// "infant" the record's key.
const (
	InfantsSheet = "Infants"
	choiceHead   = "choice"
)

// note keeps what stands in a row, to ask about one that says the same.
func (r *round) note(t *table, cells []cell) {
	var b strings.Builder
	for _, c := range cells {
		if h := t.headOf(c); h != "id" && h != written {
			b.WriteString(h + "\x00" + c.text + c.when.String() + "\x00")
		}
	}
	if r.seen == nil {
		r.seen = map[string]int{}
	}
	if first, ok := r.seen[b.String()]; ok {
		r.alike = append(r.alike, [2]int{first, t.rows})
		return
	}
	r.seen[b.String()] = t.rows
}

// tellAlike asks about rows that say the same.
func (r *round) tellAlike(t *table) {
	for _, two := range r.alike {
		t.offer.note(
			"sheet %s, rows %d and %d say the same of one infant and moment: if it was one round, retract the entries of one of "+
				"them, or empty the row and chart again",
			shown(t.name),
			two[0],
			two[1],
		)
	}
}

// idOf is the id of the entry of a kind that a round's row makes.
func idOf(row, kind string) string {
	id, err := uuid.Parse(row)
	if err != nil {
		return row // told as what it is
	}
	return uuid.NewSHA1(id, []byte("cotline round\n"+kind)).String()
}
