package forms

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/handover/entry"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

func asked(t testing.TB, now string) *Asked {
	p := wardtest.Policy(t, ward.Policy())
	zone, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	p.Zone = zone
	return &Asked{Policy: p, Now: wardtest.Moment(t, now), Choices: map[string][]Option{
		"infants": {{Value: "a", Label: "cot 1"}, {Value: "b", Label: "cot 2"}},
	}}
}

// sent is what a browser would post of controls as they are shown: of a choice the one
// that is checked, of a list whose rows have names their names.
func sent(out url.Values, controls []*Control) {
	for _, c := range controls {
		switch c.As {
		case AsChoice, AsMany:
			for _, o := range c.Options {
				if o.Checked {
					out.Add(c.Name, o.Value)
				}
			}
		case AsMoment, AsBirth:
			out.Set(c.Name+".day", c.Day)
			out.Set(c.Name+".time", c.Time)
			out.Set(c.Name+".which", c.Which)
		case AsGroup:
			sent(out, c.In)
		case AsRows:
			for _, row := range c.In {
				if row.RowName != "" {
					out.Add(c.Name, row.RowName)
				}
				sent(out, []*Control{row})
			}
		default:
			out.Set(c.Name, c.Value)
		}
	}
}

// A form as it is shown first makes no field of any kind, and one that shows what was
// charted makes the same fields again, with numbers as they were written.
func TestFormsShowAndTakeEveryKind(t *testing.T) {
	a := asked(t, "2026-03-09T12:00:00+00:00")
	for i := range entry.Kinds {
		k := &entry.Kinds[i]
		t.Run(k.Name, func(t *testing.T) {
			posted := url.Values{}
			sent(posted, a.Controls("x", k.Fields, url.Values{}, nil))
			faults := Faults{}
			if r := a.Read("x", k.Fields, posted, faults); len(r.Fields) > 0 || len(faults) > 0 {
				t.Errorf("a form with nothing filled in gives %v, %v", r.Fields, faults)
			}
			rapid.Check(t, func(t *rapid.T) {
				want := fieldsOf(t, a, k.Fields)
				posted := url.Values{}
				sent(posted, a.Controls("x", k.Fields, Flatten("x", k.Fields, want, a.Policy.Zone), nil))
				faults := Faults{}
				got := a.Read("x", k.Fields, posted, faults)
				if len(faults) > 0 {
					t.Fatalf("faults: %+v", faults)
				}
				if diff := cmp.Diff(want, got.Fields); diff != "" {
					t.Fatal(diff)
				}
			})
		})
	}
}

// fieldsOf draws fields that a kind may have, at least one.
func fieldsOf(t *rapid.T, a *Asked, specs []entry.Spec) (out []entry.Field) {
	for i := range specs {
		s := &specs[i]
		if s.Type == entry.EntryType || !rapid.Bool().Draw(t, s.Name) {
			continue
		}
		if v := valueOf(t, a, s); v.Type != entry.Absent {
			out = append(out, entry.Field{Name: s.Name, Value: v})
		}
	}
	return out
}

func valueOf(t *rapid.T, a *Asked, s *entry.Spec) entry.Value {
	text := func(from ...string) entry.Value { return entry.NewText(rapid.SampledFrom(from).Draw(t, s.Name)) }
	switch s.Type {
	case entry.Number, entry.Whole:
		return entry.Value{
			Type: entry.NumberValue,
			Text: rapid.SampledFrom([]string{"5", "5.0", "0.3", "36.80", "100"}).Draw(t, s.Name),
		}
	case entry.Flag:
		return entry.Value{Type: entry.BoolValue, Bool: rapid.Bool().Draw(t, s.Name)}
	case entry.Instant:
		return text(
			"2026-03-09T07:30:00+00:00",
			"2026-10-25T01:30:00+01:00",
			"2026-10-25T01:30:00+00:00",
			"2026-03-09T07:30:12.5+02:00",
		)
	case entry.Birth:
		return text("2026-03-01", "2026-03-01T23:05:00+00:00")
	case entry.Object:
		if fields := fieldsOf(t, a, s.Of); len(fields) > 0 {
			return entry.Value{Type: entry.ObjectValue, Fields: fields}
		}
		return entry.Value{}
	case entry.PerInfant:
		return entry.Value{Type: entry.ObjectValue, Fields: []entry.Field{{Name: "b", Value: manyOf(t, s.Words)}}}
	case entry.List:
		return listOf(t, a, s)
	}
	if from := a.words(s); len(from) > 0 {
		return entry.NewText(rapid.SampledFrom(from).Draw(t, s.Name).Value)
	}
	if s.Lines {
		return text("of one line", "two\nlines", "a <b> & \"c\"")
	}
	return text("26+3", "x y", "no longer in the list", "0012")
}

func manyOf(t *rapid.T, words []string) entry.Value {
	out := entry.Value{Type: entry.ListValue}
	for _, w := range words {
		if rapid.Bool().Draw(t, w) {
			out.List = append(out.List, entry.NewText(w))
		}
	}
	if len(out.List) == 0 {
		out.List = append(out.List, entry.NewText(words[0]))
	}
	return out
}

func listOf(t *rapid.T, a *Asked, s *entry.Spec) entry.Value {
	switch {
	case s.Of == nil && s.Item == entry.Number:
		return entry.Value{
			Type: entry.ListValue,
			List: []entry.Value{{Type: entry.NumberValue, Text: "4"}, {Type: entry.NumberValue, Text: "6.5"}},
		}
	case s.Of == nil && s.Item == entry.Key:
		return manyOf(t, []string{"a", "b"})
	case s.Of == nil:
		return manyOf(t, s.Words)
	}
	out := entry.Value{Type: entry.ListValue}
	names := append(a.ownList(&s.Of[0]), "of an older list")
	for i := range rapid.IntRange(0, 4).Draw(t, "rows") {
		var fields []entry.Field
		if s.Unique != "" {
			last := s.Of[1]
			fields = []entry.Field{
				{Name: s.Of[0].Name, Value: entry.NewText(names[(i*5)%len(names)])},
				{Name: last.Name, Value: valueOf(t, a, &last)},
			}
			fields = append(fields, fieldsOf(t, a, s.Of[2:])...)
		} else {
			for j := range s.Of {
				fields = append(fields, entry.Field{Name: s.Of[j].Name, Value: valueOf(t, a, &s.Of[j])})
			}
		}
		out.List = append(out.List, entry.Value{Type: entry.ObjectValue, Fields: fields})
	}
	if len(out.List) == 0 {
		return entry.Value{}
	}
	return out
}

// A time without a day is today's. One that has not come yet, or that the clock shows
// twice, is asked; one that it skips is refused. Zone: Europe/Dublin, in which the clock
// was put back on 25 October 2026 at 01:00Z and forward on 29 March 2026 at 01:00Z
// (IANA time zone database).
func TestTimes(t *testing.T) {
	for name, c := range map[string]struct {
		now, day, clock, which, want string
		choose                       []string
		says                         string
	}{
		"nothing":          {now: "2026-03-09T12:00:00Z"},
		"today":            {now: "2026-03-09T12:00:00Z", clock: "0730", want: "2026-03-09T07:30:00+00:00"},
		"with a colon":     {now: "2026-03-09T12:00:00Z", clock: "7:30", want: "2026-03-09T07:30:00+00:00"},
		"within tolerance": {now: "2026-03-09T12:00:00Z", clock: "12:01", want: "2026-03-09T12:01:00+00:00"},
		"before midnight": {now: "2026-03-09T00:20:00Z", clock: "2350",
			choose: []string{"2026-03-08T23:50:00+00:00"}, says: "not come yet"},
		"of a day":           {now: "2026-03-09T00:20:00Z", day: "2026-03-08", clock: "2350", want: "2026-03-08T23:50:00+00:00"},
		"a day without time": {now: "2026-03-09T00:20:00Z", day: "2026-03-08", says: "the time too"},
		"no time":            {now: "2026-03-09T12:00:00Z", clock: "2560", says: "time of the clock"},
		"no day":             {now: "2026-03-09T12:00:00Z", day: "9 March", clock: "0730", says: "A day"},
		"double": {now: "2026-10-25T06:00:00Z", clock: "0130", says: "twice",
			choose: []string{"2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00"}},
		"double, chosen": {now: "2026-10-25T06:00:00Z", clock: "0130", which: "2026-10-25T01:30:00+00:00",
			want: "2026-10-25T01:30:00+00:00"},
		"chosen, then not": {now: "2026-10-25T06:00:00Z", clock: "0400", which: "2026-10-25T01:30:00+00:00",
			want: "2026-10-25T04:00:00+00:00"},
		"skipped": {now: "2026-03-29T06:00:00Z", clock: "0130", says: "skips"},
	} {
		t.Run(name, func(t *testing.T) {
			a, faults := asked(t, c.now), Faults{}
			posted := url.Values{"at.day": {c.day}, "at.time": {c.clock}, "at.which": {c.which}}
			got, _ := a.Moment("at", false, posted.Get, faults)
			if got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
			var choose []string
			said := ""
			if f := faults["at"]; f != nil {
				said = f.Text
				for _, o := range f.Choose {
					choose = append(choose, o.Value)
				}
			}
			if !cmp.Equal(choose, c.choose) || !strings.Contains(said, c.says) || c.says == "" && said != "" {
				t.Errorf("says %q, choose %v", said, choose)
			}
		})
	}
}

// A moment to come that would be past is asked, too.
func TestTimesAhead(t *testing.T) {
	a, faults := asked(t, "2026-03-09T22:00:00Z"), Faults{}
	posted := url.Values{"x.dueAt.time": {"06:00"}}
	got, _ := a.Moment("x.dueAt", true, posted.Get, faults)
	if f := faults["x.dueAt"]; got != "" || f == nil || len(f.Choose) != 2 || f.Choose[0].Value != "2026-03-10T06:00:00+00:00" {
		t.Errorf("%q, %+v", got, f)
	}
}

// Of a keypad without a point, a comma stands for it, unless it may part thousands.
func TestNumbers(t *testing.T) {
	for typed, want := range map[string]entry.Value{
		"36,8": {Type: entry.NumberValue, Text: "36.8"}, "5.0": {Type: entry.NumberValue, Text: "5.0"},
		"1,210": {Type: entry.TextValue, Text: "1,210"}, "ninety": {Type: entry.TextValue, Text: "ninety"},
	} {
		if diff := cmp.Diff(want, number(typed)); diff != "" {
			t.Error(typed, diff)
		}
	}
}

// What was wrong is told at the input that it was typed into, in rows too.
func TestFaultsComeBackToTheirInput(t *testing.T) {
	a := asked(t, time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC).Format(time.RFC3339))
	k, _ := entry.KindOf("calibration")
	posted := url.Values{"c.points.0.gasPercent": {"21"}, "c.points.1.gasPercent": {"100"}, "c.points.1.readPercent": {"130"}}
	r := a.Read("c", k.Fields, posted, Faults{})
	if got, ok := r.Input("points[0].readPercent"); !ok || got != "c.points.1.readPercent" {
		t.Errorf("%q: the row without a reading counts for nothing", got)
	}
	if got, _ := r.Input("points[0]"); got != "c.points.1" {
		t.Errorf("%q", got)
	}
	if _, ok := r.Input("nothing"); ok {
		t.Error("an input of nothing")
	}
}
