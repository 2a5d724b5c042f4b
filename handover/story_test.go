package handover_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// A story is a record told one entry a line:
//
//	[@infant] [#id] MOMENT kind field=value …
//
// The infant is a where it is left out; @- is the whole unit. #7 is the id of an
// entry and refers to it; the third line without one is #1003. A moment is a
// day and clock time of October 2026 by the unit's clock (24 08:00; 25 01:30b is
// the second time that hour comes), or RFC 3339. A value with spaces stands in
// quotes. Lists are word,word; items with two fields first:second,first:second.
// After a correction's of and -> stands the entry as it should have been. Who
// charts is n; charted is at, unless given.

// story makes entries of a text, as a policy's unit would chart them, and takes
// them as a plain record.
func story(t testing.TB, p *handover.Policy, text string) []*entry.Entry {
	t.Helper()
	entries := untaken(t, p, text)
	fresh, issues := entry.Accept(entry.Nothing, entries, nil, p.ClockTolerance, time.Time{})
	for _, i := range issues {
		t.Fatalf("the story is no record: %v", i)
	}
	return fresh
}

// untaken are entries that nobody has judged yet.
func untaken(t testing.TB, p *handover.Policy, text string) []*entry.Entry {
	t.Helper()
	var out []*entry.Entry
	for i, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		e, issues := readEntry(entryText(t, p, line, 1001+len(out)))
		if len(issues) > 0 {
			t.Fatalf("%s\n%v", line, issues)
		}
		e.Line = i + 1
		out = append(out, &e)
	}
	return out
}

// entryText is a line of a story as JSON.
func entryText(t testing.TB, p *handover.Policy, line string, n int) string {
	t.Helper()
	words := wordsOf(line)
	infant := "a"
	for len(words) > 0 {
		if name, ok := strings.CutPrefix(words[0], "@"); ok {
			infant = name
		} else if id, ok := strings.CutPrefix(words[0], "#"); ok {
			n, _ = strconv.Atoi(id)
		} else {
			break
		}
		words = words[1:]
	}
	at, kind, fields := momentKind(t, p, words)
	s := `{"id":"` + entryID(n) + `"`
	if k, ok := entry.KindOf(kind); infant != "-" && !(ok && k.Ward == entry.OfUnit) {
		s += `,"infant":"` + infant + `"`
	}
	s += `,"kind":"` + kind + `","at":"` + at + `"`
	own, by := "", "n"
	for i, f := range fields {
		if f == "->" {
			at, kind, fields := momentKind(t, p, fields[i+1:])
			own += `,"entry":{"kind":"` + kind + `","at":"` + at + `"` + fieldsText(t, p, kind, fields) + `}`
			break
		}
		switch name, value, _ := strings.Cut(f, "="); name {
		case "by":
			by = value
		case "charted":
			s += `,"charted":"` + moment(t, p, value) + `"`
		default:
			own += fieldsText(t, p, kind, []string{f})
		}
	}
	return s + `,"by":"` + by + `"` + own + "}"
}

// momentKind is the beginning of a line, and what follows it.
func momentKind(t testing.TB, p *handover.Policy, words []string) (at, kind string, rest []string) {
	t.Helper()
	if len(words) > 1 && !strings.Contains(words[0], "T") {
		words = append([]string{words[0] + " " + words[1]}, words[2:]...)
	}
	if len(words) < 2 {
		t.Fatalf("no entry: %q", words)
	}
	return moment(t, p, words[0]), words[1], words[2:]
}

func fieldsText(t testing.TB, p *handover.Policy, kind string, fields []string) string {
	t.Helper()
	k, ok := entry.KindOf(kind)
	if !ok {
		t.Fatalf("no kind %q", kind)
	}
	s := ""
	for _, f := range fields {
		name, value, _ := strings.Cut(f, "=")
		spec, ok := k.Spec(name)
		if !ok {
			t.Fatalf("%s has no field %q", kind, name)
		}
		s += `,"` + name + `":` + valueText(t, p, spec, value)
	}
	return s
}

// valueText is one field's value as JSON, by its description.
func valueText(t testing.TB, p *handover.Policy, s *entry.Spec, value string) string {
	t.Helper()
	switch s.Type {
	case entry.Number, entry.Whole, entry.Flag, entry.PerInfant:
		return value
	case entry.Instant:
		value = moment(t, p, value)
	case entry.Birth:
		if strings.Contains(value, " ") {
			value = moment(t, p, value)
		}
	case entry.Reference:
		n, _ := strconv.Atoi(strings.TrimPrefix(value, "#"))
		value = entryID(n)
	case entry.Object:
		return "{" + strings.TrimPrefix(itemText(t, p, s.Of, strings.ReplaceAll(value, ",", ":")), ",") + "}"
	case entry.List:
		var items []string
		for _, item := range strings.Split(value, ",") {
			if s.Of != nil {
				items = append(items, "{"+strings.TrimPrefix(itemText(t, p, s.Of, item), ",")+"}")
			} else {
				items = append(items, valueText(t, p, &entry.Spec{Type: s.Item}, item))
			}
		}
		return "[" + strings.Join(items, ",") + "]"
	}
	return strconv.Quote(value)
}

// itemText is first:second… by the fields in their order; empty ones are left
// out. What stands third may be a list: dry+crust.
func itemText(t testing.TB, p *handover.Policy, of []entry.Spec, item string) string {
	t.Helper()
	s := ""
	for i, part := range strings.Split(item, ":") {
		if part != "" {
			s += `,"` + of[i].Name + `":` + valueText(t, p, &of[i], strings.ReplaceAll(part, "+", ","))
		}
	}
	return s
}

// wordsOf splits a line at spaces outside of quotes, and drops the quotes.
func wordsOf(line string) []string {
	var out []string
	word, quoted := "", false
	for _, r := range line + " " {
		switch {
		case r == '"' && !strings.Contains(word, "{"):
			quoted = !quoted
		case r == ' ' && !quoted:
			if word != "" {
				out = append(out, word)
			}
			word = ""
		default:
			word += string(r)
		}
	}
	return out
}

// moment is a story's moment as RFC 3339.
func moment(t testing.TB, p *handover.Policy, text string) string {
	t.Helper()
	if strings.Contains(text, "T") {
		return text
	}
	return entry.Stamp(instant(t, p, text), p.Zone)
}

func instant(t testing.TB, p *handover.Policy, text string) time.Time {
	t.Helper()
	if strings.Contains(text, "T") {
		m, err := entry.ParseMoment(text)
		if err != nil {
			t.Fatal(err)
		}
		return m.Time
	}
	clock, second := strings.CutSuffix(text, "b")
	var day, hour, minute int
	if _, err := fmt.Sscanf(clock, "%d %d:%d", &day, &hour, &minute); err != nil {
		t.Fatalf("no moment: %q", text)
	}
	// Of a time that comes twice, time.Date gives either: the first is the one
	// that has the same clock time after it.
	first := time.Date(2026, 10, day, hour, minute, 0, 0, p.Zone)
	for _, gap := range []time.Duration{time.Hour, 30 * time.Minute} {
		if earlier := first.Add(-gap); sameClock(earlier, first) {
			first = earlier
		}
		if later := first.Add(gap); second && sameClock(first, later) {
			return later
		}
	}
	if second {
		t.Fatalf("%q comes but once", text)
	}
	return first
}

func sameClock(a, b time.Time) bool { return a.Format("02 15:04") == b.Format("02 15:04") }

// shown is the inverse of moment.
func shown(t time.Time, zone *time.Location) string {
	local := t.In(zone)
	if local.Year() != 2026 || local.Month() != time.October || local.Second() != 0 {
		return entry.Stamp(t, zone)
	}
	s := local.Format("2 15:04")
	for _, gap := range []time.Duration{time.Hour, 30 * time.Minute} {
		if sameClock(local.Add(-gap), local) {
			return s + "b"
		}
	}
	return s
}

// compiled is a story's handover at a moment: "24 12:00", and if wanted what was
// known and since when: "24 12:00 known 24 13:00 since 24 08:00".
func compiled(t testing.TB, p *handover.Policy, text, when string) *handover.Handover {
	t.Helper()
	return compile(t, p, story(t, p, text), when)
}

func compile(t testing.TB, p *handover.Policy, entries []*entry.Entry, when string) *handover.Handover {
	t.Helper()
	when, since, sinceGiven := strings.Cut(when, " since ")
	when, known, knownGiven := strings.Cut(when, " known ")
	at := instant(t, p, when)
	knownAt, from := at, time.Time{}
	if knownGiven {
		knownAt = instant(t, p, known)
	}
	if sinceGiven {
		from = instant(t, p, since)
	}
	return handover.Compile(handover.Ward{Entries: entries, Policy: p}, at, knownAt, from)
}
