package handover_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cotline/handover"
	"cotline/handover/entry"
)

// torn is a ward of which a part of the entries is missing, so that stops lack
// their starts, checks their tubes and discharges their admissions.
func torn(t *rapid.T, tb testing.TB) randomWard {
	w := draw(t, tb, "Europe/Vienna")
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "which"), 0))
	part := rapid.SampledFrom([]float64{0, 0.1, 0.5, 0.9}).Draw(t, "missing")
	return w.with(slices.DeleteFunc(slices.Clone(w.entries), func(*entry.Entry) bool { return r.Float64() < part }))
}

// Every fact can be followed back to an entry of that infant which had happened,
// and was written down, by then; and so can every change and remark.
func TestEveryFactComesFromTheRecord(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := torn(r, t)
		byID := map[string]*entry.Entry{}
		for _, e := range w.entries {
			byID[e.ID] = e
		}
		h := w.compile()
		for _, s := range h.Infants {
			for _, source := range sourcesIn(reflect.ValueOf(s)) {
				e := byID[source.Entry]
				switch {
				case e == nil || e.Infant != s.Infant:
					r.Fatalf("%s: no entry %q of that infant", s.Infant, source.Entry)
				case source.At.After(w.at) || e.Charted.After(w.known):
					r.Fatalf("%s: entry %s is not of this reading", s.Infant, e.ID)
				// birth weight: at birth
				case source.Corrected == nil && (source.By != e.By || !source.At.Equal(e.At.Time) && e.Kind != "admission"):
					r.Fatalf("%s: entry %s is by %s at %s", s.Infant, e.ID, e.By, e.At.Text)
				case source.Corrected != nil && source.Corrected.Charted.After(w.known):
					r.Fatalf("%s: the correction of %s was not known", s.Infant, e.ID)
				}
			}
			for _, c := range s.Changes {
				if e := byID[c.Entry]; c.Entry != "" && (e == nil || e.Infant != s.Infant) {
					r.Fatalf("%s: change of %s by entry %q", s.Infant, c.Path, c.Entry)
				}
			}
			for _, x := range s.Remarks {
				if e := byID[x.Entry]; e == nil || e.Infant != s.Infant {
					r.Fatalf("%s: a remark on %q", s.Infant, x.Entry)
				}
			}
		}
	})
}

// sourcesIn are all sources within a value.
func sourcesIn(v reflect.Value) (out []handover.Source) {
	if s, ok := v.Interface().(handover.Source); ok {
		if s.Entry != "" {
			out = append(out, s)
		}
		return out
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			out = sourcesIn(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = append(out, sourcesIn(v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() && v.Type() != reflect.TypeFor[time.Time]() {
				out = append(out, sourcesIn(v.Field(i))...)
			}
		}
	}
	return out
}

// What is told as not charted is either a gap, for somebody could chart it, or a
// figure not computed, and says what lacks; never both. A size that the unit has no
// list of, and an upper bound in air, is asked of nobody.
func TestGapsAreWhatIsNotCharted(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		h := torn(r, t).compile()
		all := facts(h)
		for _, s := range h.Infants {
			var figures []string
			for _, n := range s.NotComputed {
				figures = append(figures, n.Path)
				if n.Why == "" || slices.Contains(s.Gaps, n.Path) {
					r.Fatalf("%s: %s is not computed, %q; gaps %v", s.Infant, n.Path, n.Why, s.Gaps)
				}
			}
			for _, f := range all {
				path, ok := strings.CutPrefix(f.path, "infants."+s.Infant+".")
				null := ok && f.value == "not charted"
				if !null && slices.Contains(figures, path) {
					r.Fatalf("%s: %s = %s, and told as not computed", s.Infant, path, f.value)
				}
				asked := path != "interface.size" && path != "settings.spo2HighPercent"
				if null && asked && !slices.Contains(slices.Concat(s.Gaps, figures), strings.Replace(path, "bonnet.size", "bonnet", 1)) {
					r.Fatalf("%s: %s is told nowhere as not charted: gaps %v, not computed %v", s.Infant, path, s.Gaps, figures)
				}
			}
			if (s.Skin.Checked == nil) != slices.Contains(s.Gaps, "skin") {
				r.Fatalf("%s: skin checked %v, gaps %v", s.Infant, s.Skin.Checked, s.Gaps)
			}
		}
	})
}

// Conflicts and look-alikes are told on both, with the same words.
func TestLikenessIsMutual(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		h := draw(r, t, "Europe/Vienna").compile()
		told := map[string]bool{}
		for _, s := range h.Infants {
			for _, l := range s.LookAlikes {
				told[s.Infant+" "+l.Infant+" "+l.Why] = true
			}
			for _, c := range s.Conflicts {
				told[s.Infant+" "+c.Infant+" "+c.What+" "+c.Value] = true
			}
		}
		for line := range told {
			words := strings.SplitN(line, " ", 3)
			if words[0] == words[1] || !told[words[1]+" "+words[0]+" "+words[2]] {
				r.Fatal(line)
			}
		}
	})
}
