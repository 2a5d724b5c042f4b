package intake_test

import (
	"regexp"
	"strings"
	"testing"

	"cotline/internal/intake"
)

// The example is read, is the defaults to the value, and with its lines that are off
// turned on has every key.
func TestExamplePolicy(t *testing.T) {
	built, _ := intake.Policy(nil)
	p, issues := intake.Policy(intake.ExamplePolicy)
	if len(issues) > 0 || len(p.Warnings()) > 0 {
		t.Fatal(issues, p.Warnings())
	}
	if p.Hash() != built.Hash() {
		for i, l := range p.Lines() {
			if was := built.Lines()[i]; l.Value != was.Value {
				t.Errorf("%s: %s, the default is %s", l.Path, l.Value, was.Value)
			}
		}
	}
	off := regexp.MustCompile(`(?m)^#(\S|  )`)
	text := string(intake.ExamplePolicy)
	text = text[strings.Index(text, "\nunit:"):]
	for _, key := range []string{"thresholds", "safety", "cares", "staff"} {
		text = regexp.MustCompile(`(?m)^`+key+`: \[\].*\n`).ReplaceAllString(text, "")
	}
	on, issues := intake.Policy([]byte(off.ReplaceAllString(text, "$1")))
	if len(issues) > 0 || len(on.Warnings()) > 0 {
		t.Fatal(issues, on.Warnings())
	}
	for _, l := range on.Lines() {
		if l.Value == "" || l.Value == "[]" && l.Path != "fhir.leave" {
			t.Errorf("%s has no example", l.Path)
		}
	}
}
