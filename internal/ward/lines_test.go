package ward

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// line is one entry as read back: the fields that every entry has, and those that name another.
type line struct {
	ID, Infant, Kind, At, Charted, By string
	Of, MovedTo, Handover             string
	Infants                           []string

	at, charted time.Time
	text        string
	fields      map[string]json.RawMessage
}

func readLines(t testing.TB, ndjson []byte) []line {
	t.Helper()
	var out []line
	for text := range bytes.Lines(ndjson) {
		out = append(out, readLine(t, text))
	}
	return out
}

func readLine(t testing.TB, text []byte) line {
	t.Helper()
	l := line{text: string(text)}
	if !bytes.HasSuffix(text, []byte("}\n")) {
		t.Fatalf("no whole line: %s", text)
	}
	for _, into := range []any{&l, &l.fields} {
		if err := json.Unmarshal(text, into); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
	}
	l.at, l.charted = moment(t, l.At), moment(t, l.Charted)
	return l
}

func moment(t testing.TB, s string) time.Time {
	t.Helper()
	m, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// required are the fields without which an entry of the kind is refused.
var required = map[string][]string{
	"admission": {"born", "cot"}, "identity": nil, "move": {"cot"}, "discharge": {"to"},
	"support": {"state"}, "settings": nil, "observations": nil, "gas": {"sample"}, "limits": nil, "safety": {"items"},
	"told": {"whom", "about"}, "episode": {"signs", "recovered"}, "interface": {"type"},
	"setup": {"steps"}, "calibration": {"points"}, "seal": {"held"}, "humidifier": nil, "circuit": {"action"}, "alarm": {"about"},
	"skin": {"sites"}, "tube": {"action"}, "head": {"circumferenceCm"}, "weight": {"weightG"}, "bonnet": {"action"}, "care": {"what"},
	"note": {"text"}, "task": {"text"}, "task-done": {"task"}, "plan": {"what", "every", "reason"},
	"deferral": {"what", "until", "reason"}, "outlook": nil, "handover": {"to", "asOf", "infants"},
	"acceptance": {"handover", "infants"}, "correction": {"of", "reason", "entry"}, "retraction": {"of", "reason"},
}

// ofUnit are the kinds that may, or must, stand without an infant.
var ofUnit = []string{"note", "task", "task-done", "handover", "acceptance"}

var (
	uuid4 = regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	key   = regexp.MustCompile(`^[A-Za-z0-9._-]{1,64}$`)
)

// checkLines holds a whole record to what every entry must have.
func checkLines(t testing.TB, lines []line) {
	t.Helper()
	ids := map[string]line{}
	for _, l := range lines {
		if _, twice := ids[l.ID]; twice || !uuid4.MatchString(l.ID) {
			t.Errorf("id %q is not a new version 4 UUID", l.ID)
		}
		ids[l.ID] = l
	}
	for i, l := range lines {
		checkLine(t, l)
		if i > 0 && l.at.Before(lines[i-1].at) {
			t.Errorf("%s at %s stands after %s", l.Kind, l.At, lines[i-1].At)
		}
		if l.Of != "" {
			of := ids[l.Of]
			if of.ID == "" || of.Kind == "retraction" || of.Infant != l.Infant || l.Kind == "correction" && of.Kind == "correction" {
				t.Errorf("%s %s is of %q: %s", l.Kind, l.ID, l.Of, of.Kind)
			}
			if l.charted.Before(of.charted) {
				t.Errorf("%s %s was charted before what it is about", l.Kind, l.ID)
			}
		}
		if moved := ids[l.MovedTo]; l.MovedTo != "" && (moved.Kind != ids[l.Of].Kind || moved.Infant == l.Infant) {
			t.Errorf("retraction %s moves to %q", l.ID, l.MovedTo)
		}
		if l.Kind == "acceptance" && ids[l.Handover].Kind != "handover" {
			t.Errorf("acceptance %s of %q", l.ID, l.Handover)
		}
	}
}

func checkLine(t testing.TB, l line) {
	t.Helper()
	names, known := required[l.Kind]
	if !known {
		t.Errorf("unknown kind %q", l.Kind)
	}
	for _, name := range append([]string{"id", "kind", "at", "charted", "by"}, names...) {
		if len(l.fields[name]) == 0 {
			t.Errorf("%s %s lacks %s", l.Kind, l.ID, name)
		}
	}
	if l.Infant == "" && !slices.Contains(ofUnit, l.Kind) || l.Infant != "" && !key.MatchString(l.Infant) || !key.MatchString(l.By) {
		t.Errorf("%s %s: infant %q, by %q", l.Kind, l.ID, l.Infant, l.By)
	}
	if l.charted.Before(l.at.Add(-2 * time.Minute)) {
		t.Errorf("%s at %s was charted at %s", l.Kind, l.At, l.Charted)
	}
	if l.Kind == "admission" && strings.Contains(l.text, `"mrn"`) == strings.Contains(l.text, `"temporary"`) {
		t.Errorf("admission %s has not one of number and temporary label", l.ID)
	}
	if strings.Contains(l.text, `:null`) || strings.Contains(l.text, `:""`) {
		t.Errorf("empty field: %s", l.text)
	}
}
