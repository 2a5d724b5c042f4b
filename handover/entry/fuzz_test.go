package entry_test

import (
	"bytes"
	"strings"
	"testing"
)

// Whatever is offered, decoding ends in an entry whose canonical text reads back
// as itself, or in issues that fit a line each.
func FuzzDecode(f *testing.F) {
	for _, text := range []string{
		entryLine(1, "a", "settings", noon, `"pressureCmH2O":5.0,"fio2Percent":1e400`),
		entryLine(1, "a", "skin", noon, `"sites":[{"site":"septum","finding":"intact","also":["dry"],"note":"\ud800"}]`),
		entryLine(1, "a", "correction", noon, `"of":"`+entryID(2)+`","reason":"x","entry":{"kind":"task-done","at":"`+noon+`","task":"`+
			entryID(3)+`"}`),
		entryLine(1, "", "acceptance", noon, `"handover":"`+entryID(2)+`","infants":["a"],"confirmed":{"a":["tube"]},"asked":"e\u0301"`),
		`{"id":"` + strings.Repeat("[", 100), "{\"\xff\":1}", `{"a":1,"a":2}`,
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		e, issues := readEntry(string(text))
		for _, i := range issues {
			if s := i.String(); i.Code == "" || strings.ContainsAny(s, "\n\r\x1b\x00") || len(s) > 4000 {
				t.Errorf("not fit for a line: %q", s)
			}
		}
		if len(issues) > 0 {
			return
		}
		canonical := e.AppendCanonical(nil)
		again, issues := readEntry(string(canonical))
		if len(issues) > 0 || !bytes.Equal(again.AppendCanonical(nil), canonical) {
			t.Errorf("%s\nreads back as\n%s %v", canonical, again.AppendCanonical(nil), issues)
		}
	})
}
