package entry_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// Entries as lines of JSON, and read of them.
var (
	entryID, entryLine   = wardtest.EntryID, wardtest.EntryLine
	readEntry, mustEntry = wardtest.ReadEntry, wardtest.MustEntry
)

const noon = "2026-10-24T12:00:00+02:00"

func TestDecodeTakes(t *testing.T) {
	for name, text := range map[string]string{
		"number keeps its digits": entryLine(1, "a", "settings", noon, `"pressureCmH2O":5.0,"fio2Percent":21`),
		"ends of a range are in": entryLine(1, "a", "settings", noon,
			`"pressureCmH2O":0,"upperPressureCmH2O":40,"inspiratoryS":0.1`),
		"part of an object":           entryLine(1, "a", "observations", noon, `"silverman":{"chest":0,"grunt":2}`),
		"born as a date":              entryLine(1, "a", "admission", noon, `"born":"2026-10-24","cot":"7","temporary":"twin two"`),
		"gestation in whole weeks":    entryLine(1, "a", "admission", noon, `"born":"2026-10-24","cot":"7","mrn":"12","gestation":"26"`),
		"a note of the whole unit":    entryLine(1, "", "note", noon, `"text":"lift out of order"`),
		"a note that runs over lines": entryLine(1, "", "note", noon, `"text":"one\ntwo\tthree"`),
		"moment in Greenwich":         entryLine(1, "a", "weight", "2026-10-24T10:00:00Z", `"weightG":1210`),
		"moment with a fraction":      entryLine(1, "a", "weight", "2026-10-24T10:00:00.125-03:30", `"weightG":1210`),
		"plan that ends": entryLine(1, "a", "plan", noon,
			`"what":"care","care":"mouth-care","every":"policy","reason":"round"`),
		"a correction with its infant": entryLine(1, "a", "correction", noon,
			`"of":"`+entryID(2)+`","reason":"slip","entry":{"kind":"weight","at":"`+noon+`","infant":"a","weightG":1220}`),
		"confirmed by infant": entryLine(1, "", "acceptance", noon,
			`"handover":"`+entryID(2)+`","infants":["a"],"confirmed":{"a":["pressure","fio2"]}`),
		"emoji and right-to-left text": entryLine(1, "", "note", noon, `"text":"\ud83d\ude00 שלום"`),
	} {
		t.Run(name, func(t *testing.T) {
			e := mustEntry(t, text)
			// What is stored reads back as the same entry, to the byte.
			canonical := string(e.AppendCanonical(nil))
			if again := string(mustEntry(t, canonical).AppendCanonical(nil)); again != canonical {
				t.Errorf("canonical text is not stable:\n%s\n%s", canonical, again)
			}
		})
	}
}

func TestCanonical(t *testing.T) {
	got := string(mustEntry(t, `{ "weightG" : 1210.50, "by":"rn-agate", "at":"2026-10-24T12:00:00+02:00",
		"kind":"weight","charted":"2026-10-24T12:01:00+02:00","infant":"a","id":"ABCDEF00-0000-4000-8000-00000000000A" }`).AppendCanonical(
		nil))
	want := `{"id":"abcdef00-0000-4000-8000-00000000000a","infant":"a","kind":"weight","at":"2026-10-24T12:00:00+02:00",` +
		`"charted":"2026-10-24T12:01:00+02:00","by":"rn-agate","weightG":1210.50}`
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	// Text is put in NFC (Unicode Standard Annex 15): e and the combining acute
	// accent become one character; only what JSON must escape is escaped.
	got = string(mustEntry(t, entryLine(1, "", "note", noon, `"text":"caf\u0065\u0301 \"x\" \\ \/ \n \u2028"`)).AppendCanonical(nil))
	if want := `"text":"café \"x\" \\ / \n ` + "\u2028" + `"}`; !strings.HasSuffix(got, want) {
		t.Errorf("got %s, want … %s", got, want)
	}
	// Ids inside a correction's entry are lower case too.
	got = string(mustEntry(t, entryLine(1, "", "correction", noon, `"of":"`+entryID(2)+`","reason":"x","entry":{"at":"`+noon+
		`","kind":"task-done","task":"ABCDEF00-0000-4000-8000-00000000000A"}`)).AppendCanonical(nil))
	if want := `"entry":{"kind":"task-done","at":"` + noon + `","task":"abcdef00-0000-4000-8000-00000000000a"}}`; !strings.HasSuffix(got,
		want) {
		t.Errorf("got %s, want … %s", got, want)
	}
}

// told is what a test needs of an issue.
type told struct {
	Path string
	Code entry.Code
}

func tell(issues []entry.Issue) []told {
	var out []told
	for _, i := range issues {
		out = append(out, told{i.Path, i.Code})
	}
	return out
}

func TestDecodeRefuses(t *testing.T) {
	settings := func(own string) string { return entryLine(1, "a", "settings", noon, own) }
	for name, c := range map[string]struct {
		text string
		want []told
	}{
		"gas without a value": {entryLine(1, "a", "gas", noon, `"sample":"venous"`), []told{{"ph", entry.CodeMissing}}},
		"gas in two units": {entryLine(1, "a", "gas", noon, `"sample":"venous","pco2KPa":6,"pco2MmHg":45`),
			[]told{{"pco2MmHg", entry.CodeRepeated}}},
		"gas out of range": {entryLine(1, "a", "gas", noon, `"sample":"venous","baseExcessMmolL":-40.1`),
			[]told{{"baseExcessMmolL", entry.CodeRange}}},
		"limits of nothing": {entryLine(1, "a", "limits", noon, ``), []told{{"spo2LowPercent", entry.CodeMissing}}},
		"limits upside down": {entryLine(1, "a", "limits", noon, `"heartRateLowBpm":200,"heartRateHighBpm":100`),
			[]told{{"heartRateLowBpm", entry.CodeOrder}}},
		"safety without items": {entryLine(1, "a", "safety", noon, `"items":[]`), []told{{"items", entry.CodeMissing}}},
		"told whom":            {entryLine(1, "a", "told", noon, `"about":"x"`), []told{{"whom", entry.CodeMissing}}},
		"fit":                  {entryLine(1, "a", "interface", noon, `"type":"mask","fit":"snug"`), []told{{"fit", entry.CodeWord}}},
		"care without a name":  {entryLine(1, "a", "care", noon, `"what":" "`), []told{{"what", entry.CodeText}}},
		"not JSON":             {`{"id":`, []told{{"id", entry.CodeJSON}}},
		"not an object":        {`[1]`, []told{{"", entry.CodeJSON}}},
		"two objects":          {`{} {}`, []told{{"", entry.CodeJSON}}},
		"NUL":                  {"{\"id\":\"\x00\"}", []told{{"id", entry.CodeJSON}}},
		"not UTF-8":            {"{\"id\":\"\xff\"}", []told{{"", entry.CodeUTF8}}},
		"lone surrogate":       {settings(`"x":"\ud800"`), []told{{"x", entry.CodeJSON}}},
		"name twice":           {settings(`"fio2Percent":21,"fio2Percent":22`), []told{{"fio2Percent", entry.CodeDuplicateField}}},
		"name twice, escaped": {settings(`"fio2Percent":21,"fio2\u0050ercent":22`),
			[]told{{"fio2Percent", entry.CodeDuplicateField}}},
		"nested too deep": {settings(`"x":[[[[[[[[[1]]]]]]]]]`), []told{{"x.0.0.0.0.0.0.0", entry.CodeJSON}}},
		"nothing of what is due": {`{}`, []told{{"id", entry.CodeMissing}, {"by", entry.CodeMissing}, {"at", entry.CodeMissing},
			{"kind", entry.CodeMissing}}},
		"unknown kind":            {entryLine(1, "a", "feeding", noon, ""), []told{{"kind", entry.CodeUnknownKind}}},
		"unknown field":           {settings(`"peep":5`), []told{{"peep", entry.CodeUnknownField}}},
		"accepted is not offered": {settings(`"accepted":"` + noon + `"`), []told{{"accepted", entry.CodeUnknownField}}},
		"unknown field, hostile":  {settings(`"\u001b[2J":5`), []told{{`"\x1b[2J"`, entry.CodeUnknownField}}},
		"infant left out":         {entryLine(1, "", "weight", noon, `"weightG":1000`), []told{{"infant", entry.CodeMissing}}},
		"infant on a handover": {entryLine(1, "a", "handover", noon, `"to":"b","asOf":"`+noon+`","infants":["a"]`),
			[]told{{"infant", entry.CodeUnknownField}}},
		"infant's key": {entryLine(1, "a b", "weight", noon, `"weightG":1000`), []told{{"infant", entry.CodeFormat}}},
		"id":           {strings.Replace(settings(""), entryID(1), "1", 1), []told{{"id", entry.CodeFormat}}},
		"moment without offset": {entryLine(1, "a", "weight", "2026-10-24T12:00:00", `"weightG":1000`),
			[]told{{"at", entry.CodeFormat}}},
		"moment, hour of a digit": {entryLine(1, "a", "weight", "2026-10-24T7:00:00+02:00", `"weightG":1000`),
			[]told{{"at", entry.CodeFormat}}},
		"moment, comma": {entryLine(1, "a", "weight", "2026-10-24T07:00:00,5+02:00", `"weightG":1000`),
			[]told{{"at", entry.CodeFormat}}},
		"moment, offset of a day": {entryLine(1, "a", "weight", "2026-10-24T07:00:00+24:00", `"weightG":1000`),
			[]told{{"at", entry.CodeFormat}}},
		"moment, no such day": {entryLine(1, "a", "weight", "2026-02-29T07:00:00+02:00", `"weightG":1000`),
			[]told{{"at", entry.CodeFormat}}},
		"text for a number":   {settings(`"fio2Percent":"21"`), []told{{"fio2Percent", entry.CodeType}}},
		"null":                {settings(`"fio2Percent":null`), []told{{"fio2Percent", entry.CodeType}}},
		"exponent":            {settings(`"fio2Percent":2.1e1`), []told{{"fio2Percent", entry.CodeNumber}}},
		"huge exponent":       {settings(`"fio2Percent":1e999999999`), []told{{"fio2Percent", entry.CodeNumber}}},
		"too many digits":     {settings(`"fio2Percent":21.00000`), []told{{"fio2Percent", entry.CodeNumber}}},
		"far too many digits": {settings(`"fio2Percent":` + strings.Repeat("9", 100_000)), []told{{"fio2Percent", entry.CodeNumber}}},
		"whole number": {entryLine(1, "a", "observations", noon, `"silverman":{"chest":1.0}`),
			[]told{{"silverman.chest", entry.CodeNumber}}},
		"below the range":     {settings(`"fio2Percent":20.9`), []told{{"fio2Percent", entry.CodeRange}}},
		"above the range":     {settings(`"pressureCmH2O":20.1`), []told{{"pressureCmH2O", entry.CodeRange}}},
		"low not below high":  {settings(`"spo2LowPercent":95,"spo2HighPercent":95.0`), []told{{"spo2LowPercent", entry.CodeOrder}}},
		"word":                {entryLine(1, "a", "interface", noon, `"type":"hood"`), []told{{"type", entry.CodeWord}}},
		"required by another": {entryLine(1, "a", "support", noon, `"state":"started"`), []told{{"mode", entry.CodeMissing}}},
		"one of two": {entryLine(1, "a", "admission", noon, `"born":"2026-10-24","cot":"7"`),
			[]told{{"mrn", entry.CodeMissing}}},
		"both of two": {entryLine(1, "a", "admission", noon, `"born":"2026-10-24","cot":"7","mrn":"1","temporary":"x"`),
			[]told{{"mrn", entry.CodeMissing}}},
		"any of several": {entryLine(1, "a", "identity", noon, ``), []told{{"mrn", entry.CodeMissing}}},
		"gestation":      {entryLine(1, "a", "identity", noon, `"gestation":"26+7"`), []told{{"gestation", entry.CodeFormat}}},
		"empty list":     {entryLine(1, "a", "skin", noon, `"sites":[]`), []told{{"sites", entry.CodeMissing}}},
		"site twice": {entryLine(1, "a", "skin", noon, `"sites":[{"site":"septum","finding":"intact"},{"site":"septum",`+
			`"finding":"stage-1"}]`), []told{{"sites[1]", entry.CodeRepeated}}},
		"two faults in a list": {entryLine(1, "a", "skin", noon, `"sites":[{"site":"chin","finding":"intact"},{"site":"septum"}]`),
			[]told{{"sites[0].site", entry.CodeWord}, {"sites[1].finding", entry.CodeMissing}}},
		"empty text": {entryLine(1, "", "note", noon, `"text":" \n"`), []told{{"text", entry.CodeText}}},
		"long text": {entryLine(1, "", "note", noon, `"text":"`+strings.Repeat("ä", 4001)+`"`),
			[]told{{"text", entry.CodeText}}},
		"control character":    {entryLine(1, "", "note", noon, `"text":"a\u0007"`), []told{{"text", entry.CodeText}}},
		"escaped NUL":          {entryLine(1, "", "note", noon, `"text":"a\u0000"`), []told{{"text", entry.CodeText}}},
		"line break in a name": {entryLine(1, "a", "identity", noon, `"family":"a\nb"`), []told{{"family", entry.CodeText}}},
		"interval": {entryLine(1, "a", "plan", noon, `"what":"skin","every":"0h","reason":"x"`),
			[]told{{"every", entry.CodeFormat}}},
		"confirmed word": {entryLine(1, "", "acceptance", noon,
			`"handover":"`+entryID(2)+`","infants":["a"],"confirmed":{"a":["mood"]}`), []told{{"confirmed.a[0]", entry.CodeWord}}},
		"correction of correction": {entryLine(1, "a", "correction", noon,
			`"of":"`+entryID(2)+`","reason":"x","entry":{"kind":"retraction","at":"`+noon+`","of":"`+entryID(3)+`","reason":"x"}`),
			[]told{{"entry.kind", entry.CodeReference}}},
		"correction, other infant": {entryLine(1, "a", "correction", noon, `"of":"`+entryID(2)+`","reason":"x","entry":{"kind":"weight",`+
			`"at":"`+noon+`","infant":"b","weightG":1000}`), []told{{"entry.infant", entry.CodeReference}}},
		"correction, own fields": {entryLine(1, "a", "correction", noon, `"of":"`+entryID(2)+`","reason":"x","entry":{"kind":"weight",`+
			`"weightG":1}`), []told{{"entry.at", entry.CodeMissing}, {"entry.weightG", entry.CodeRange}}},
	} {
		t.Run(name, func(t *testing.T) {
			_, issues := readEntry(c.text)
			if diff := cmp.Diff(c.want, tell(issues)); diff != "" {
				t.Errorf("%s\n(-want +got)\n%s%v", c.text[:min(len(c.text), 300)], diff, issues)
			}
		})
	}
}

func TestLineTooLong(t *testing.T) {
	_, issues := entry.ParseJSON(make([]byte, entry.MaxLine+1))
	if diff := cmp.Diff([]told{{"", entry.CodeLineTooLong}}, tell(issues)); diff != "" {
		t.Error(diff)
	}
}

// No refusal shows what stood in a field that may hold a name, whatever was
// wrong with it.
func TestRefusalsHoldNoName(t *testing.T) {
	const name = "Zinnia"
	wrong := map[string]string{
		"control": `"` + name + `\u0007"`, "long": `"` + strings.Repeat(name, 1000) + `"`,
		"list": `["` + name + `"]`, "object": `{"` + name + `":"` + name + `"}`,
	}
	n := 0
	for _, kind := range entry.Kinds {
		var walk func(path string, specs []entry.Spec, wrap func(string) string)
		walk = func(path string, specs []entry.Spec, wrap func(string) string) {
			for _, s := range specs {
				if s.Of != nil {
					walk(s.Name+".", s.Of, func(in string) string {
						if s.Type == entry.List {
							return wrap(`"` + s.Name + `":[{` + in + `}]`)
						}
						return wrap(`"` + s.Name + `":{` + in + `}`)
					})
				}
				if !s.Private {
					continue
				}
				for how, w := range wrong {
					n++
					_, issues := readEntry(wrap(`"` + s.Name + `":` + w))
					if len(issues) == 0 {
						t.Errorf("%s %s%s: %s is taken", kind.Name, path, s.Name, how)
					}
					for _, i := range issues {
						if strings.Contains(i.String(), name) {
							t.Errorf("%s %s%s, %s: %s", kind.Name, path, s.Name, how, i)
						}
					}
				}
			}
		}
		walk("", kind.Fields, func(in string) string { return entryLine(1, "a", kind.Name, noon, in) })
	}
	if n < 80 {
		t.Errorf("only %d refusals looked at", n)
	}
}

func TestFaultsOfALineAreBounded(t *testing.T) {
	var b strings.Builder
	for i := range 50_000 {
		fmt.Fprintf(&b, `"x%d":1,`, i)
	}
	_, issues := readEntry(entryLine(1, "a", "settings", noon, b.String()+`"fio2Percent":21`))
	if len(issues) == 0 || len(issues) > 50 {
		t.Errorf("%d issues", len(issues))
	}
}
