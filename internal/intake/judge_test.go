package intake_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/intake"
)

// TestJudgeReportsEveryLine holds a file of faults of every sort to one report:
// an entry is blamed for its own fault beside faulty lines, and only what may
// stand in one of those is left out.
func TestJudgeReportsEveryLine(t *testing.T) {
	const (
		admission = `{"id":"00000000-0000-4000-8000-000000000001","infant":"a","kind":"admission","at":"2026-10-24T08:00:00Z",` +
			`"by":"rn","born":"2026-10-24","cot":"1","mrn":"1"}`
		faulty = `{"id":"00000000-0000-4000-8000-000000000002","infant":"b","kind":"admission","at":"2026-10-24T08:00:00Z",` +
			`"by":"rn","born":"yesterday","cot":"1","mrn":"1"}`
		ofB = `{"id":"00000000-0000-4000-8000-000000000003","infant":"b","kind":"weight","at":"2026-10-24T08:00:00Z",` +
			`"by":"rn","weightG":900}`
		ofC = `{"id":"00000000-0000-4000-8000-000000000004","infant":"c","kind":"weight","at":"2026-10-24T08:00:00Z",` +
			`"by":"rn","weightG":900}`
		again = `{"id":"00000000-0000-4000-8000-000000000005","infant":"a","kind":"admission","at":"2026-10-24T09:00:00Z",` +
			`"by":"rn","born":"2026-10-24","cot":"1","mrn":"1"}`
		toFaulty = `{"id":"00000000-0000-4000-8000-000000000006","infant":"b","kind":"retraction","at":"2026-10-24T09:00:00Z",` +
			`"by":"rn","of":"00000000-0000-4000-8000-000000000002","reason":"r"}`
		toNothing = `{"id":"00000000-0000-4000-8000-000000000007","infant":"a","kind":"retraction","at":"2026-10-24T09:00:00Z",` +
			`"by":"rn","of":"00000000-0000-4000-8000-0000000000ff","reason":"r"}`
	)
	for _, c := range []struct {
		name, want string
		lines      []string
	}{
		{"own faults beside a faulty line", "2:format 4:not-admitted 5:already-admitted 7:reference", []string{admission, faulty,
			ofB, ofC, again, toFaulty, toNothing}},
		{"beside a line that cannot be read", "2:json 4:already-admitted", []string{admission, "{", ofC, again, toNothing}},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := intake.NDJSON(strings.NewReader(strings.Join(c.lines, "\n")))
			if err != nil {
				t.Fatal(err)
			}
			_, issues := o.Judge(entry.Nothing, nil, time.Minute, time.Time{})
			var got []string
			for _, i := range issues {
				got = append(got, fmt.Sprintf("%d:%s", i.Line, i.Code))
			}
			if strings.Join(got, " ") != c.want {
				t.Errorf("got  %v\nwant %s", got, c.want)
			}
		})
	}
}
