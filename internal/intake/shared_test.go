package intake_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"cotline/fhir/read"
	"cotline/internal/intake"
	"cotline/internal/wardtest"
)

// The night that the tests of several packages share is a plain record, and its
// policy one that the edge reads.
func TestNight(t *testing.T) {
	policy, issues := intake.Policy(wardtest.Shared(t, "night/policy.json"))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	text := wardtest.Shared(t, "night/entries.ndjson")
	o, err := intake.Record(bytes.NewReader(text), policy.ClockTolerance)
	if err != nil || len(o.Issues) > 0 || len(o.Entries) != bytes.Count(text, []byte("\n")) {
		t.Errorf("%d entries, %v, %v", len(o.Entries), o.Issues, err)
	}
}

// Each hostile file is refused, and every refusal is one line that can be shown and
// repeats no name.
func TestHostileFiles(t *testing.T) {
	policy, _ := intake.Policy(nil)
	for _, file := range wardtest.SharedFiles(t, "hostile") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var o intake.Offer
		switch filepath.Ext(file) {
		case ".ndjson":
			o, err = intake.NDJSON(bytes.NewReader(text))
		case ".csv":
			o, err = intake.CSV(bytes.NewReader(text), vienna(t))
		case ".json":
			var r intake.Resources
			if o, err = r.Bundle(bytes.NewReader(text), 0); len(o.Issues) == 0 {
				o = r.Read(read.Given{Policy: policy, By: "rn-agate"})
			}
		default:
			t.Fatalf("nobody reads %s", file)
		}
		if err != nil || len(o.Issues) == 0 {
			t.Errorf("%s: %d entries, no refusal, %v", filepath.Base(file), len(o.Entries), err)
		}
		for _, i := range o.Issues {
			if s := i.String(); strings.ContainsFunc(s, unicode.IsControl) || strings.Contains(s, "Marigold") || len(s) > 4000 {
				t.Errorf("%s: not fit to be shown: %q", filepath.Base(file), s)
			}
		}
	}
}
