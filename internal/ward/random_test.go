package ward

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

func randomLines(t testing.TB, seed uint64, infants, days int) []line {
	t.Helper()
	var out []line
	for text := range Random(seed, infants, days) {
		out = append(out, readLine(t, text))
	}
	return out
}

func TestRandomIsTheSameForASeed(t *testing.T) {
	all := func(seed uint64) []byte { return bytes.Join(slices.Collect(Random(seed, 20, 2)), nil) }
	if !bytes.Equal(all(3), all(3)) {
		t.Error("two wards of one seed differ")
	}
	if bytes.Equal(all(3), all(4)) {
		t.Error("two seeds make one ward")
	}
}

// Wards of several sizes: every line as it must be, every entry within a stay, the infants and days asked for.
func TestRandomWards(t *testing.T) {
	for _, size := range []struct {
		seed          uint64
		infants, days int
	}{{1, 1, 1}, {2, 12, 4}, {3, 40, 3}, {4, 100, 2}, {18446744073709551615, 7, 10}} {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			lines := randomLines(t, size.seed, size.infants, size.days)
			checkLines(t, lines)
			checkStays(t, lines)
			infants := map[string]bool{}
			for _, l := range lines {
				if l.Kind == "admission" {
					infants[l.Infant] = true
				}
			}
			if len(infants) != size.infants {
				t.Errorf("%d infants, want %d", len(infants), size.infants)
			}
			if per := len(lines) / (size.infants * size.days); per < 15 || per > 100 {
				t.Errorf("%d entries an infant and day", per)
			}
			last := lines[len(lines)-1].at
			first := last.Add(-time.Duration(size.days) * 24 * time.Hour)
			_, early := first.In(zone).Zone()
			if _, late := last.In(zone).Zone(); early == late {
				t.Errorf("the clock does not change from %s to %s", first, last)
			}
		})
	}
}

// checkStays holds the entries of each infant to its stays, in the order of moments.
func checkStays(t testing.TB, lines []line) {
	t.Helper()
	type stay struct{ in, out time.Time }
	born := map[string]time.Time{}
	stays := map[string][]stay{}
	for _, l := range lines {
		list := stays[l.Infant]
		switch l.Kind {
		case "admission":
			if n := len(list); n > 0 && list[n-1].out.IsZero() {
				t.Errorf("%s is admitted twice at %s", l.Infant, l.At)
			}
			stays[l.Infant] = append(list, stay{in: l.at})
			if at, err := time.Parse(time.RFC3339, strings.Trim(string(l.fields["born"]), `"`)); err == nil && len(list) == 0 {
				born[l.Infant] = at
			}
		case "discharge":
			if n := len(list); n == 0 || !list[n-1].out.IsZero() {
				t.Errorf("%s is discharged at %s and was not there", l.Infant, l.At)
				continue
			}
			list[len(list)-1].out = l.at
		}
	}
	for _, l := range lines {
		list := stays[l.Infant]
		switch {
		case l.Infant == "" || l.Kind == "correction" || l.Kind == "retraction":
		case len(list) == 0:
			t.Errorf("%s of %s, who was never admitted", l.Kind, l.Infant)
		case list[len(list)-1].out.IsZero() || !l.at.After(list[len(list)-1].out):
			// A first stay takes in what was charted since birth, a later one what was since the discharge before it.
			if from, known := born[l.Infant]; l.at.Before(list[0].in) && (!known || l.at.Before(from)) {
				t.Errorf("%s of %s at %s, before birth or admission", l.Kind, l.Infant, l.At)
			}
		default:
			t.Errorf("%s of %s at %s, after the last stay", l.Kind, l.Infant, l.At)
		}
		for _, key := range l.Infants {
			there := func(s stay) bool { return !s.in.After(l.at) && (s.out.IsZero() || s.out.After(l.at)) }
			if l.Kind == "handover" && !slices.ContainsFunc(stays[key], there) {
				t.Errorf("handover at %s of %s, who is not there", l.At, key)
			}
		}
	}
}

// What is awkward does happen, in a ward of a size that tests use.
func TestRandomIsAwkward(t *testing.T) {
	lines := randomLines(t, 5, 120, 4)
	found := map[string]int{}
	stopped, off := map[string]time.Time{}, map[string]time.Time{}
	corrected, moments, byID := map[string]int{}, map[string]int{}, map[string]line{}
	for _, l := range lines {
		byID[l.ID] = l
	}
	admissions := map[string]int{}
	for _, l := range lines {
		found[l.Kind]++
		if l.Kind == "admission" {
			admissions[l.Infant]++
			if admissions[l.Infant] == 2 {
				found["second stay"]++
			}
		}
		if strings.Contains(l.text, `"kind":"support"`) {
			if strings.Contains(l.text, `"stopped"`) {
				stopped[l.Infant] = l.at
			} else if from, ok := stopped[l.Infant]; ok {
				found["break of "+l.at.Sub(from).String()]++
			}
			if strings.Contains(l.text, `"changed"`) {
				found["change of mode"]++
			}
		}
		if l.Kind == "interface" {
			if strings.Contains(l.text, `"off"`) {
				off[l.Infant] = l.at
			} else if from, ok := off[l.Infant]; ok {
				found["off for "+l.at.Sub(from).String()]++
			}
		}
		if l.Kind == "correction" {
			if corrected[l.Of]++; corrected[l.Of] == 2 {
				found["corrected twice"]++
			}
		}
		if l.Kind == "retraction" {
			found["retraction of "+map[bool]string{true: "a correction", false: "an entry"}[byID[l.Of].Kind == "correction"]]++
			if l.MovedTo != "" {
				found["wrong twin"]++
			}
		}
		if l.charted.Sub(l.at) >= time.Hour {
			found["late"]++
		}
		if l.charted.Before(l.at) {
			found["clock ahead"]++
		}
		if moment := l.Infant + l.At; l.Infant != "" {
			if moments[moment]++; moments[moment] == 2 {
				found["same moment"]++
			}
		}
		if strings.HasSuffix(l.At, "Z") {
			found["other offset"]++
		}
	}
	for kind := range required {
		if found[kind] == 0 {
			t.Errorf("no %s", kind)
		}
	}
	for _, what := range []string{"second stay", "change of mode", "break of 0s", "break of 44m0s", "break of 45m0s", "break of 46m0s",
		"off for 59m0s", "off for 1h0m0s", "off for 1h1m0s", "corrected twice", "retraction of a correction", "retraction of an entry",
		"wrong twin", "late", "clock ahead", "same moment", "other offset"} {
		if found[what] == 0 {
			t.Errorf("no %s", what)
		}
	}
}

// A reader that stops early stops the ward.
func TestRandomStops(t *testing.T) {
	n := 0
	for range Random(1, 10_000, 30) {
		if n++; n == 3 {
			break
		}
	}
	if n != 3 {
		t.Errorf("%d lines", n)
	}
}

func BenchmarkRandom(b *testing.B) {
	b.ReportAllocs()
	lines, size := 0, 0
	for b.Loop() {
		for text := range Random(1, 100, 1) {
			lines, size = lines+1, size+len(text)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(lines), "ns/line")
	b.SetBytes(int64(size / b.N))
}
