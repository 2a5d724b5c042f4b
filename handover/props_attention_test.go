package handover_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cotline/handover"
	"cotline/handover/entry"
)

// fieldName is a name of a field, which no nurse says: a word with a capital inside.
var fieldName = regexp.MustCompile(`\b[a-z]+[A-Z][a-z]\w*`)

// Rows stand in the order of the table, what is now before what is to be known; each
// has words that a nurse says and a path, and names no entry that is not there.
func TestRowsOfAttention(t *testing.T) {
	marked, infants, seen := 0, 0, map[string]int{}
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		for _, s := range w.compile().Infants {
			infants++
			if slices.ContainsFunc(s.Attention, func(a handover.Attention) bool { return a.Level == handover.Now }) {
				marked++
			}
			last := -1
			for _, a := range s.Attention {
				seen[a.What+" "+a.Level]++
				place := 2 * slices.Index(attentionOrder, a.What)
				if a.Level == handover.Know {
					place++
				} else if a.Level != handover.Now {
					r.Fatalf("level %q", a.Level)
				}
				if place < last || place < 0 {
					r.Fatalf("%s %s is out of its place", a.What, a.Level)
				}
				last = place
				if a.Path == "" || strings.TrimSpace(a.Text) == "" || strings.Contains(a.Text, "\n") ||
					a.What != "read-out" && fieldName.MatchString(a.Text) {
					r.Fatalf("%s: path %q, text %q", a.What, a.Path, a.Text)
				}
				if (a.Entry == "") != a.At.IsZero() || a.Entry != "" && !slices.ContainsFunc(w.entries,
					func(e *entry.Entry) bool { return e.ID == a.Entry && e.Infant == s.Infant }) {
					r.Fatalf("%s: entry %q at %v", a.What, a.Entry, a.At)
				}
			}
		}
	})
	t.Logf("of %d infants of random wards, where all goes wrong on purpose, %d are marked now; rows: %v", infants, marked, seen)
}

// An infant for whom everything is charted well and in time has nothing that needs
// somebody now, whenever it is read.
func TestWellChartedHasNoNow(t *testing.T) {
	p := readPolicy(t, `{"sizes":{"mask":["M"],"prongs":["P"],"bonnet":[{"name":"A","fromCm":20,"toCm":28}]},"safety":["suction",`+
		`"oxygen"],"every":{"care":{"mouth-care":"6h"}}}`)
	start := instant(t, p, "24 06:00")
	rapid.Check(t, func(r *rapid.T) {
		entries, end := wellCharted(r, t, start)
		at := start.Add(time.Duration(rapid.Int64Range(0, int64(end.Sub(start)/time.Minute)).Draw(r, "at")) * time.Minute)
		h := handover.Compile(handover.Ward{Entries: entries, Policy: p}, at, at, time.Time{})
		for _, a := range h.Infants[0].Attention {
			if a.Level == handover.Now || a.What == "missing" || a.What == "overdue" {
				r.Fatalf("at %v: %s %s: %s", at, a.Level, a.What, a.Text)
			}
		}
	})
}

// wellCharted is an infant on CPAP for a day or more, as a good ward charts it.
func wellCharted(r *rapid.T, t testing.TB, start time.Time) ([]*entry.Entry, time.Time) {
	var out []*entry.Entry
	chart := func(at time.Time, kind, fields string) {
		stamp := at.Format(time.RFC3339)
		out = append(out, mustEntry(t, fmt.Sprintf(`{"id":"%s","infant":"a","kind":"%s","at":"%s","charted":"%s","by":"n",%s}`,
			entryID(1000+len(out)), kind, stamp, stamp, fields)))
	}
	every := func(name string, most int, do func(at time.Time, n int)) {
		at := start
		for n := 0; at.Before(start.Add(30 * time.Hour)); n++ {
			do(at, n)
			at = at.Add(time.Duration(rapid.IntRange(10, most).Draw(r, name)) * time.Minute)
		}
	}
	before := start.Add(-time.Hour)
	chart(before, "admission", `"born":"2026-10-01","cot":"7","mrn":"4711","sex":"female","gestation":"27+0","birthWeightG":950`)
	chart(before, "circuit", `"action":"fitted"`)
	chart(before, "calibration", `"points":[{"gasPercent":21,"readPercent":21},{"gasPercent":100,"readPercent":99}]`)
	chart(before, "seal", `"held":true`)
	chart(before, "setup", `"steps":[{"step":"gases","done":true}]`)
	chart(before, "humidifier", `"state":"ready","chamberC":37,"water":"changed","waterMl":5000`)
	chart(start, "settings", `"pressureCmH2O":6,"fio2Percent":30,"flowLMin":8,"spo2LowPercent":90,"spo2HighPercent":95`)
	chart(start, "support", `"state":"started","mode":"cpap"`)
	chart(start, "head", `"circumferenceCm":25.5`)
	chart(start, "bonnet", `"action":"fitted","size":"A"`)
	chart(start, "tube", `"action":"placed","route":"oral","sizeFr":6,"markCm":15`)
	chart(start, "weight", `"weightG":1010`)
	every("observations", 60, func(at time.Time, _ int) {
		chart(at, "observations", fmt.Sprintf(`"spo2Percent":%d,"heartRateBpm":150,"respRateBpm":50`, rapid.IntRange(90, 95).
			Draw(r, "SpO2")))
	})
	every("hands on", 240, func(at time.Time, n int) {
		chart(at, "skin", `"sites":[`+strings.Join(sitesIntact(), ",")+`]`)
		chart(at, "interface", []string{`"type":"mask","size":"M"`, `"type":"prongs","size":"P"`}[n%2])
	})
	every("chamber", 240, func(at time.Time, _ int) { chart(at, "humidifier", `"chamberC":36.8,"water":"ok"`) })
	every("tube", 360, func(at time.Time, _ int) { chart(at, "tube", `"action":"checked","markCm":15.4`) })
	every("mouth", 360, func(at time.Time, _ int) { chart(at, "care", `"what":"mouth-care"`) })
	every("safety", 720, func(at time.Time, _ int) {
		chart(at, "safety", `"items":[{"item":"suction","ok":true},{"item":"oxygen","ok":true}]`)
	})
	every("outlook", 720, func(at time.Time, _ int) { chart(at, "outlook", `"severity":"stable"`) })
	return out, start.Add(30 * time.Hour)
}

func sitesIntact() []string {
	var out []string
	for _, site := range entry.Sites {
		out = append(out, `{"site":"`+site+`","finding":"intact"}`)
	}
	return out
}

// More charting in time never adds a fact that is old, a gap or something overdue.
func TestMoreChartingNeverAddsToDo(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		if w.known.Before(w.at) {
			w.known = w.at
		}
		for _, s := range w.compile().Infants {
			more := inTime(s)
			if len(more) == 0 {
				continue
			}
			x := rapid.SampledFrom(more).Draw(r, s.Infant)
			kind, fields, _ := strings.Cut(x, " ")
			stamp := entry.MomentOf(w.at).Text
			e := mustEntry(t, fmt.Sprintf(`{"id":"%s","infant":"%s","kind":"%s","at":"%s","charted":"%s","by":"rn-agate",%s}`, entryID(1),
				s.Infant, kind, stamp, stamp, fields))
			h := w.with(append(slices.Clone(w.entries), e)).compile()
			i := slices.IndexFunc(h.Infants, func(x *handover.Summary) bool { return x.Infant == s.Infant })
			was := toDo(s)
			for _, what := range toDo(h.Infants[i]) {
				if !slices.Contains(was, what) {
					r.Fatalf("%s: %s adds %s to %v", s.Infant, x, what, was)
				}
			}
		}
	})
}

func toDo(s *handover.Summary) []string {
	var out []string
	for _, x := range s.Old {
		out = append(out, "old "+x.Path)
	}
	for _, path := range s.Gaps {
		out = append(out, "gap "+path)
	}
	for _, d := range s.Due {
		if d.State == "overdue" {
			out = append(out, strings.TrimSpace("overdue "+d.What+" "+d.Care+d.Task))
		}
	}
	return out
}

// inTime are entries that a nurse who does what is to be done charts of an infant,
// with everything found as it was.
func inTime(s *handover.Summary) []string {
	out := []string{`observations "spo2Percent":93,"heartRateBpm":150,"respRateBpm":50`, `weight "weightG":1200`,
		`outlook "severity":"stable"`,
		`care "what":"mouth-care"`, `care "what":"position"`,
		`safety "items":[{"item":"bag-and-mask","ok":true},{"item":"suction","ok":true},{"item":"oxygen","ok":true},` +
			`{"item":"name-bands","ok":true}]`}
	var sites []string
	found := map[string]string{}
	for _, x := range s.Skin.Sites {
		found[x.Site] = x.Finding
	}
	for _, site := range entry.Sites {
		finding := found[site]
		if finding == "" {
			finding = "intact"
		}
		sites = append(sites, `{"site":"`+site+`","finding":"`+finding+`"}`)
	}
	out = append(out, `skin "sites":[`+strings.Join(sites, ",")+`]`)
	if h := s.Humidifier.Value; h != nil && (h.State.Value == nil || *h.State.Value != "off") {
		out = append(out, `humidifier "chamberC":37,"water":"ok"`)
	}
	if s.Setup.Value != nil {
		out = append(out, `calibration "points":[{"gasPercent":21,"readPercent":21},{"gasPercent":100,"readPercent":99}]`)
	}
	if s.Tubes.Value != nil {
		for _, x := range *s.Tubes.Value {
			out = append(out, fmt.Sprintf(`tube "action":"checked","use":"%s","markCm":%s`, x.Use, x.MarkCm))
		}
	}
	return out
}
