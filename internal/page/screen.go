package page

import (
	"cmp"
	"strings"
	"time"

	"cotline/handover"
)

// Screen tells a handover in parts, for pages that are laid out elsewhere: the same
// sentences as on paper and on a terminal. Words come in spans, of which those that were
// charted stand apart, whatever way they are written.
type Screen struct{ v, aged view }

// NewScreen is a handover for a screen.
func NewScreen(h *handover.Handover) *Screen { return &Screen{newView(h, false), newView(h, true)} }

// Fact is one fact in words; one that is out of order or missing stands apart.
type Fact struct {
	Words []Span
	Apart bool
}

// Row is a labelled line of facts.
type Row struct {
	Label string
	Facts []Fact
}

// Line is an infant in the ward's list. Now is what needs a person now, Know what is to
// be known, each thing by itself.
type Line struct {
	Infant                                                  string // key
	Cot, Name, Number, Support, Pressure, Oxygen, Interface []Span
	PressureTrend, OxygenTrend                              Trend
	Now, Know                                               [][]Span
	Due                                                     []Fact // overdue, due, and the next moment
}

// Told is one infant: how it is called, what tells it from others, what to look at first,
// and its facts in the short form and in the full one.
type Told struct {
	Cot, Name, Number, Age []Span
	Identity               [][]Span
	Now, Know              [][]Span
	Short, Full            []Row
}

// Unit is the unit's name.
func (s *Screen) Unit() []Span { return spans(said(s.v.ward.Unit)) }

// Moment is that of the handover, in full.
func (s *Screen) Moment() []Span { return spans(s.v.full(s.v.at)) }

// Rest is what belongs to the whole unit.
func (s *Screen) Rest() []Row { return rowsOf(s.v.unitRows()) }

// Line is an infant in the ward's list. It tells of that infant alone, at the handover's
// moment.
func (s *Screen) Line(f *handover.Summary) Line {
	v, look := s.v.nearly(f), lookAt(f)
	return Line{
		Infant: f.Infant, Cot: spans(said(f.Cot)), Name: spans(nameOf(f)), Number: spans(numbered(f)), Support: spans(v.mode(f)),
		Pressure: spans(pressureSaid(f)), Oxygen: spans(settingSaid(f, "fio2Percent")),
		PressureTrend: pressureTrend(f), OxygenTrend: fio2Trend(f),
		Interface: spans(s.faceSaid(f)), Now: eachSaid(look.Now), Know: eachSaid(look.Know), Due: factsOf(v.lineDue(f).Items),
	}
}

// settingSaid is a setting in force with its unit, without its name: nothing where it does
// not apply.
func settingSaid(f *handover.Summary, field string) string {
	for _, s := range f.Settings {
		switch {
		case s.Field != field:
		case s.Fact == nil:
			return "NOT CHARTED"
		default:
			return withUnit(s.Fact.Value.String(), handover.FieldOf("settings", field).Unit)
		}
	}
	return ""
}

// pressureSaid is the pressure in force; of two, the upper over the lower, as it is said.
func pressureSaid(f *handover.Summary) string {
	lower := settingSaid(f, "pressureCmH2O")
	for _, s := range f.Settings {
		switch {
		case s.Field != "upperPressureCmH2O":
		case s.Fact == nil:
			return "NOT CHARTED over " + lower
		default:
			return s.Fact.Value.String() + " over " + lower
		}
	}
	return lower
}

// faceSaid is what lies on the face, and how long it has.
func (s *Screen) faceSaid(f *handover.Summary) string {
	x := f.Interface.Value
	switch {
	case x == nil && f.Interface.Applies:
		return "NOT CHARTED"
	case x == nil:
		return ""
	case x.Type == "off":
		return "off for " + s.v.ago(x.Since)
	}
	size := ""
	if x.Size.Value != nil {
		size = said(*x.Size.Value)
	}
	return joined(" ", x.Type, size, "for", s.v.ago(x.Since))
}

// lineDue is what is overdue and due, and the first of what comes.
func (v view) lineDue(f *handover.Summary) row {
	r := row{Label: "Due"}
	for _, d := range f.Due {
		switch what := shortDueName(d.What, d.Care, d.Text); d.State {
		case "overdue":
			since := v.moment(d.OverdueAt)
			if since == "" { // a civil day
				since = v.dueFrom(d)
			}
			r.apart("OVERDUE " + what + " since " + since)
		case "deferred":
		default:
			r.add("due " + what + " since " + v.dueFrom(d))
		}
	}
	next := v.farOff(f)
	if coming := v.comingUp(f); len(coming) > 0 {
		next = coming[0]
	}
	r.add("next " + next)
	return r
}

// Infant is one infant of the handover. Moments carry their ages in the full form.
func (s *Screen) Infant(f *handover.Summary) Told {
	v, look := s.v.nearly(f), aboveLines(f)
	full := s.aged.rows(f)
	if cites(f) {
		full = append(full, s.aged.citedRow())
	}
	return Told{
		Cot: spans(said(f.Cot)), Name: spans(nameOf(f)), Number: spans(numbered(f)), Age: spans(v.shortAge(f)),
		Identity: eachSaid(s.v.identity(f)), Now: eachSaid(look.Now), Know: eachSaid(look.Know),
		Short: rowsOf(v.short(f)), Full: rowsOf(full),
	}
}

// cites says whether a figure of an infant stands on a growth standard, by its number.
func cites(f *handover.Summary) bool {
	return f.Head.Value != nil && f.Head.Value.Z != nil || f.Weight.Value != nil && f.Weight.Value.Z != nil ||
		f.BirthWeight.Value != nil && f.BirthWeight.Value.Z != nil
}

// Lack is a figure that cannot be computed, by its path, and what it lacks.
type Lack struct {
	Path       string
	Said, Lack []Span
}

// Lacking are the figures of an infant that cannot be computed.
func (s *Screen) Lacking(f *handover.Summary) []Lack {
	out := make([]Lack, len(f.NotComputed))
	for i, x := range f.NotComputed {
		out[i] = Lack{x.Path, spans(pathSaid(x.Path)), spans(lacksSaid(x))}
	}
	return out
}

// When is a moment as the short form tells it.
func (s *Screen) When(t time.Time) string { return s.v.when(t) }

// Called is an infant by cot, name and number.
func (s *Screen) Called(f *handover.Summary) []Span { return spans("cot " + called(f)) }

func rowsOf(rows []row) []Row {
	out := make([]Row, len(rows))
	for i, r := range rows {
		out[i] = Row{r.Label, factsOf(r.Items)}
	}
	return out
}

func factsOf(items []item) []Fact {
	out := make([]Fact, len(items))
	for i, it := range items {
		out[i] = Fact{spans(it.Text), it.Apart}
	}
	return out
}

func eachSaid(words []string) [][]Span {
	out := make([][]Span, len(words))
	for i, w := range words {
		out[i] = spans(w)
	}
	return out
}

// Urgent compares lines: those with most that needs a person now come first, then those
// with most to know.
func Urgent(a, b Line) int {
	return cmp.Or(len(b.Now)-len(a.Now), len(b.Know)-len(a.Know))
}

// Plain is words without their spans.
func Plain(words []Span) string {
	var b strings.Builder
	for _, w := range words {
		b.WriteString(w.Text)
	}
	return b.String()
}
