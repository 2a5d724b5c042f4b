package entry_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
)

// Nobody signs blank paper, or takes over what was not handed over; names of the
// unit's own lists are held to them when an entry is taken.
func TestAcceptSigned(t *testing.T) {
	signs := func(n int, asOf, infants string) string {
		return entryLine(n, "", "handover", at("12:00"), `"to":"m","asOf":"`+at(asOf)+`","infants":[`+infants+`]`)
	}
	accepts := func(n, of int, infants string) string {
		return entryLine(n, "", "acceptance", at("12:05"), `"handover":"`+entryID(of)+`","infants":[`+infants+`]`)
	}
	in := []string{admission(1, "a", "08:00"), admission(2, "b", "09:00")}
	late := charted(signs(3, "11:55", `"a"`), "12:00")
	for name, c := range map[string]struct {
		held, offered []string
		want          []string
	}{
		"signed": {nil, []string{charted(in[0], "08:05"), charted(signs(3, "11:55", `"a"`), "12:00")}, nil},
		"signed, all held": {[]string{charted(in[0], "08:05")}, []string{charted(signs(3, "11:55", `"a"`), "12:00")},
			nil},
		"not admitted yet": {nil, []string{charted(in[1], "09:05"), charted(signs(3, "08:30", `"b"`), "12:00")},
			[]string{"2: infants not-admitted"}},
		"never heard of, by infant": {nil, []string{charted(in[0], "08:05"), charted(signs(3, "11:55", `"a","x","y"`), "12:00")},
			[]string{"2: infants not-admitted", "2: infants not-admitted"}},
		"left before it": {nil, []string{charted(in[0], "08:05"), charted(discharge(2, "a", "11:00"), "11:00"),
			charted(signs(3, "11:55", `"a"`), "12:00")}, []string{"3: infants not-admitted"}},
		"left, and that written only later": {nil, []string{charted(in[0], "08:05"), charted(discharge(2, "a", "11:00"), "12:30"),
			charted(signs(3, "11:55", `"a"`), "12:00")}, nil},
		"admitted, and that written later": {nil, []string{charted(in[0], "12:30"), late}, []string{"2: infants not-compiled"}},
		"retracted before it": {nil,
			[]string{charted(in[0], "08:05"),
				charted(entryLine(9, "a", "retraction", at("11:00"), `"of":"`+entryID(1)+`","reason":"slip"`), "11:00"), late},
			[]string{"3: infants not-admitted"}},
		"a handover corrected to a stranger": {nil,
			[]string{charted(in[0], "08:05"), late,
				charted(correction(4, "", 3, `"kind":"handover","at":"`+at("12:00")+`","to":"m","asOf":"`+at("11:55")+`","infants":["x"]`),
					"12:10")}, []string{"3: entry.infants not-admitted"}},

		"accepted": {nil, []string{charted(in[0], "08:05"), late, accepts(4, 3, `"a"`)}, nil},
		"accepted, one not named": {nil, []string{charted(in[0], "08:05"), charted(in[1], "09:05"), late, accepts(4, 3, `"a","b"`)},
			[]string{"4: infants not-handed-over"}},
		"accepted, no handover":  {nil, []string{accepts(4, 3, `"a"`)}, []string{"1: handover no-handover"}},
		"accepted, another kind": {nil, []string{charted(in[0], "08:05"), accepts(4, 1, `"a"`)}, []string{"2: handover no-handover"}},
		"accepted, corrected since": {nil, []string{charted(in[0], "08:05"), charted(in[1], "09:05"), late,
			charted(correction(5, "", 3, `"kind":"handover","at":"`+at("12:00")+`","to":"m","asOf":"`+at("11:55")+`","infants":["a","b"]`),
				"12:10"), accepts(4, 3, `"b"`)}, nil},

		"care of every unit": {in, []string{entryLine(5, "a", "care", noon, `"what":"mouth-care"`)}, nil},
		"care of the unit":   {in, []string{entryLine(5, "a", "care", noon, `"what":"eye-care"`)}, nil},
		"care of nobody":     {in, []string{entryLine(5, "a", "care", noon, `"what":"singing"`)}, []string{"1: what word"}},
		"plan for such a care": {in, []string{entryLine(5, "a", "plan", noon,
			`"what":"care","care":"singing","every":"4h","reason":"x"`)}, []string{"1: care word"}},
		"deferral of such": {in, []string{entryLine(5, "a", "deferral", noon,
			`"what":"care","care":"singing","until":"`+noon+`","reason":"x"`)}, []string{"1: care word"}},
		"corrected to such": {append(in[:1:1], entryLine(5, "a", "care", noon, `"what":"mouth-care"`)),
			[]string{correction(6, "a", 5, `"kind":"care","at":"`+noon+`","what":"singing"`)}, []string{"1: entry.what word"}},
		"safety item": {in, []string{entryLine(5, "a", "safety", noon, `"items":[{"item":"suction","ok":true}]`)}, nil},
		"safety item of nobody": {in, []string{entryLine(5, "a", "safety", noon, `"items":[{"item":"lamp","ok":true}]`)},
			[]string{"1: items item"}},
		"cannula of nobody": {in, []string{entryLine(5, "a", "interface", noon, `"type":"cannula","size":"wide"`)},
			[]string{"1: size size"}},
	} {
		t.Run(name, func(t *testing.T) {
			lists := &entry.Lists{
				Cares: append(slices.Clone(entry.Cares), "eye-care"), Safety: []string{"suction"},
				Sizes: map[string][]string{"cannula": {"narrow"}},
			}
			already, issues := entry.Accept(entry.Nothing, ward(t, c.held...), nil, tolerance, taken)
			if len(issues) > 0 {
				t.Fatalf("held: %v", issues)
			}
			_, issues = entry.Accept(held(already), ward(t, c.offered...), lists, tolerance, taken)
			var got []string
			for _, i := range issues {
				got = append(got, fmt.Sprintf("%d: %s %s", i.Line, i.Path, i.Code))
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s%v", diff, issues)
			}
		})
	}
}
