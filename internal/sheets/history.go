package sheets

import (
	"iter"
	"slices"

	"cotline/handover"
	"cotline/handover/entry"
)

type history struct {
	sheet  string
	kinds  []string
	each   string // a list whose items have a row each
	byKind bool   // an infant's rows stand kind by kind
	holds  bool   // a field left out stays as it was
}

// histories are the sheets with a row an entry of some kinds, as it stands, of each infant's stay. Every field of the
// kinds has a column, by the table of kinds.
var histories = []history{
	{sheet: "Settings", kinds: []string{"settings"}, holds: true},
	{sheet: "Observations", kinds: []string{"observations"}},
	{sheet: wearsName}, // wear periods in place of entries
	{sheet: skinName, kinds: []string{"skin"}, each: "sites"},
	{sheet: "Tubes", kinds: []string{"tube"}},
	{sheet: "Growth", kinds: []string{"weight", "head", "bonnet"}, byKind: true},
	{sheet: "Devices", kinds: []string{"support", "humidifier", "circuit", "calibration", "seal"}},
	{sheet: "Episodes", kinds: []string{"episode"}},
}

const noHistory = "Nothing of this was charted in the present stays."

// charted is an entry as it stands, or one item of its list.
type charted struct {
	*handover.Summary
	entry *entry.Standing
	item  []entry.Field
	held  map[string]bool // fields of the kind that were charted before
}

// historySheets makes them all of what stands in the reading.
func historySheets(h *handover.Handover, all *entry.Records, policy *handover.Policy) []sheet {
	records := recordsOf(all)
	var out []sheet
	for _, x := range histories {
		if x.sheet == wearsName {
			out = append(out, wearsSheet(h, records, policy))
			continue
		}
		out = append(out, historySheet(h, records, x))
	}
	return out
}

func recordsOf(all *entry.Records) map[string]*entry.Record {
	records := map[string]*entry.Record{}
	for _, r := range all.Infants {
		records[r.Infant] = r
	}
	return records
}

func historySheet(h *handover.Handover, records map[string]*entry.Record, x history) sheet {
	kinds := x.kinds
	c := clock{h.Zone}
	columns := infantColumns(func(r charted) *handover.Summary { return r.Summary })
	columns = append(columns, momentColumns(c, "Happened", func(r charted) cell { return c.moment(r.entry.At.Time, notCharted) })...)
	if len(kinds) > 1 {
		columns = append(columns, column[charted]{"Kind", 12, func(r charted) cell { return text(r.entry.Kind, notCharted) }})
	}
	for _, k := range kinds {
		if kind, ok := entry.KindOf(k); ok {
			columns = append(columns, fieldColumns(kind, x)...)
		}
	}
	columns = append(columns, sourceColumns(c, charted.source, func(r charted) cell {
		return c.moment(r.entry.Charted.Time, notCharted)
	})...)
	columns = append(columns, keyColumn(func(r charted) string { return r.Infant }))
	return table(x.sheet, noHistory, standing(h, records, x), func(r charted) string { return "entry " + r.entry.ID }, columns...)
}

func (r charted) source() handover.Source {
	from := handover.Source{By: r.by(), Entry: r.entry.ID}
	if r.entry.Correction != nil {
		from.Corrected = &handover.Amended{Charted: r.entry.Correction.Charted.Time}
	}
	return from
}

// sourceColumns tell where a row comes from: who charted it and when, the correction that holds, the entry.
func sourceColumns[T any](c clock, from func(T) handover.Source, charted func(T) cell) []column[T] {
	columns := []column[T]{{"By", 10, func(r T) cell { return text(from(r).By, computed) }}}
	columns = append(columns, momentColumns(c, "Charted", charted)...)
	columns = append(columns, momentColumns(c, "Corrected", func(r T) cell {
		if from(r).Corrected == nil {
			return word(notCorrected)
		}
		return c.moment(from(r).Corrected.Charted, notCharted)
	})...)
	return append(columns, column[T]{"Entry", 36, func(r T) cell { return entryCell(from(r).Entry, computed) }})
}

func (r charted) by() string {
	if r.entry.Correction != nil {
		return r.entry.Correction.By
	}
	return r.entry.By
}

// standing yields the entries of some kinds in each infant's stay, in the order of the handover.
func standing(h *handover.Handover, records map[string]*entry.Record, x history) iter.Seq[charted] {
	return func(yield func(charted) bool) {
		for _, s := range h.Infants {
			r := records[s.Infant]
			if r == nil {
				continue
			}
			stay := r.Admitted(h.At)
			if stay == nil {
				continue
			}
			held := map[string]bool{}
			for _, e := range x.of(r.Of(stay, h.At)) {
				for _, fields := range itemsOf(e, x.each) {
					if !yield(charted{s, e, fields, held}) {
						return
					}
				}
				if x.holds {
					for _, f := range e.Fields {
						held[f.Name] = true
					}
				}
			}
		}
	}
}

// of are the entries of the history's kinds.
func (x history) of(entries []*entry.Standing) []*entry.Standing {
	var out []*entry.Standing
	for _, e := range entries {
		if slices.Contains(x.kinds, e.Kind) {
			out = append(out, e)
		}
	}
	if x.byKind {
		slices.SortStableFunc(out, func(a, b *entry.Standing) int {
			return slices.Index(x.kinds, a.Kind) - slices.Index(x.kinds, b.Kind)
		})
	}
	return out
}

// itemsOf are the field lists that have a row each: the entry's own, or those of the items of a list.
func itemsOf(e *entry.Standing, list string) [][]entry.Field {
	if list == "" {
		return [][]entry.Field{e.Fields}
	}
	var out [][]entry.Field
	for _, v := range e.List(list) {
		out = append(out, v.Fields)
	}
	return out
}

// fieldColumns are a kind's fields, or those of the items of a list. Where a sheet holds several kinds, the header names
// the kind.
func fieldColumns(k *entry.Kind, x history) []column[charted] {
	specs, named := k.Fields, len(x.kinds) > 1
	if s, ok := k.Spec(x.each); ok {
		specs = s.Of
	}
	empty := func(charted, string) cell { return word(notCharted) }
	if x.holds {
		empty = leftAsItWas
	}
	var out []column[charted]
	for i := range specs {
		s := &specs[i]
		f := fieldColumn{k, prefix(k, s, named), named, func(r charted) []entry.Field { return r.item }, empty}
		out = append(out, f.of(s)...)
	}
	return out
}

// leftAsItWas stands where an entry leaves a field out that holds until it is set otherwise.
func leftAsItWas(r charted, field string) cell {
	if r.held[field] {
		return word(unchanged)
	}
	return word(notSetYet)
}

func prefix(k *entry.Kind, s *entry.Spec, named bool) string {
	if !named || s.Label == k.Label {
		return ""
	}
	return k.Label + ": "
}

// fieldColumn makes the columns of fields.
type fieldColumn struct {
	kind   *entry.Kind
	prefix string
	named  bool
	fields func(charted) []entry.Field
	empty  func(r charted, field string) cell
}

// of is a field's column; an object's fields have one each.
func (f fieldColumn) of(s *entry.Spec) []column[charted] {
	if s.Type == entry.Object {
		var out []column[charted]
		inner := f
		inner.prefix += s.Label + ": "
		inner.fields = func(r charted) []entry.Field { v, _ := fieldOf(f.fields(r), s.Name); return v.Fields }
		for i := range s.Of {
			out = append(out, inner.of(&s.Of[i])...)
		}
		return out
	}
	wrap := 14
	if f.named { // most of its fields do not apply to most rows
		wrap = 8
	}
	return []column[charted]{{f.prefix + headOf(*s), wrap, func(r charted) cell {
		if r.entry.Kind != f.kind.Name {
			return word(doesNotApply)
		}
		v, ok := fieldOf(f.fields(r), s.Name)
		if !ok {
			return f.empty(r, s.Name)
		}
		return fieldCell(v, s)
	}}}
}

// fieldCell is a charted field: a number as a number, a list in words.
func fieldCell(v entry.Value, s *entry.Spec) cell {
	switch {
	case v.Type == entry.NumberValue:
		if d, err := entry.ParseDecimal(v.Text); err == nil {
			return number(d)
		}
	case v.Type == entry.BoolValue:
		return yesNo(v.Bool)
	}
	c := content{}
	c.value(v, s)
	return text(string(c.b), none)
}
