//go:build outside

package oracle

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cotline/fhir/guide"
)

// issue is what HL7's engine says of a resource.
type issue struct{ Severity, ID, At, Text string }

// validate holds resources to HL7's engine (validator/Validate.java), which knows
// R4's definitions, those that the product ships, and the fragments.
func validate(t *testing.T, resources [][]byte) [][]issue {
	t.Helper()
	all := make([][]issue, 0, len(resources))
	for n, line := range validators.ask(t, resources, func() *exec.Cmd { return validator(t) }) {
		var one []issue
		if err := json.Unmarshal(line, &one); err != nil {
			t.Fatalf("%v in %.200q, of %.200s", err, line, resources[n])
		}
		all = append(all, one)
	}
	return all
}

var validators talking

// validator is the engine with its definitions, not started yet.
func validator(t testing.TB) *exec.Cmd {
	t.Helper()
	var definitions [][]byte
	w, _ := demo(t)
	shipped, err := guide.Definitions(w.Policy)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range shipped {
		definitions = append(definitions, r.JSON)
	}
	for _, f := range fragments {
		definitions = append(definitions, f.codeSystem(t))
	}
	file := filepath.Join(t.TempDir(), "definitions.ndjson")
	if err := os.WriteFile(file, bytes.Join(definitions, []byte("\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	return java(t, "validator", "Validate", "-Xmx1500m", file)
}

// refused says whether an issue makes a resource unfit to leave. Some of what
// matters is only a warning to the engine.
func (i issue) refused() bool {
	switch {
	case i.Severity != "warning" && i.Severity != "information":
		return true
	case strings.HasSuffix(i.ID, "#dom-6"): // no narrative
		return true
	case i.ID == "Bundle_BUNDLE_Not_Local": // a urn:uuid that no entry has
		return true
	}
	return strings.Contains(i.Text, "CodeSystem is unknown") // the engine knows every system in use
}

// warning is one that stands, or what the engine cannot do, and why: by the whole
// id, and patterns of the text's name, the place and what is said.
type warning struct {
	id           string
	in, at, text *regexp.Regexp
	why          string
}

var anything = regexp.MustCompile(``)

var standing = []warning{
	{"Terminology_TX_NoValid_2_CC", anything, regexp.MustCompile(`\.code$`),
		regexp.MustCompile(`'Vital Signs'.* \(codes = http://loinc\.org#(2708-6|8310-5)[,)]`),
		"not so: R4's value set of vital signs holds 2708-6 and 8310-5; the engine wants every coding in it, and the finer ones " +
			"beside them are what R4 allows"},
	{"All_observations_should_have_a_performer", regexp.MustCompile(`document`), anything, anything,
		"what a program computed for a handover has no performer: R4 takes no Device there, and nobody did it"},
	{"Terminology_TX_NoValid_2_CC", anything, regexp.MustCompile(`/\*Provenance/.*\.reason\[0\]$`),
		regexp.MustCompile(`'V3 Value SetPurposeOfUse'`),
		"the binding is extensible, and no purpose of use is a correction: the reason has a code of our own"},
}

// profiles are R4's vital-sign profiles, which the engine is to apply by code.
var profiles = []string{"oxygensat", "heartrate", "resprate", "bodytemp", "bodyweight", "headcircum"}

func TestHL7TakesEverything(t *testing.T) {
	t.Parallel()
	all := written(t)
	names := slices.SortedFunc(maps.Keys(all), func(a, b string) int { return len(all[b]) - len(all[a]) }) // the long ones first
	var texts [][]byte
	for _, n := range names {
		texts = append(texts, all[n])
	}
	seen, applied, told := map[string]int{}, map[string]int{}, map[string]bool{}
	for n, issues := range validate(t, texts) {
		for _, i := range issues {
			key := i.Severity + " " + i.ID
			switch said := i.said(names[n]); {
			case said >= 0:
				key = standing[said].why
			case i.refused():
				t.Errorf("%s: %s at %s: %s", names[n], key, i.At, i.Text)
			case i.Severity == "information":
				for _, p := range profiles {
					if strings.Contains(i.Text, "StructureDefinition/"+p+")") {
						applied[p]++
					}
				}
			case !told[i.Text]:
				t.Errorf("%s: a new warning: %s at %s: %s", names[n], i.ID, i.At, i.Text)
				told[i.Text] = true
			}
			seen[key]++
		}
	}
	for _, s := range standing {
		if seen[s.why] == 0 {
			t.Errorf("nobody warns any more: %s", s.why)
		}
	}
	for _, p := range profiles {
		if applied[p] == 0 {
			t.Errorf("the engine applied the profile %s to nothing", p)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(seen)) {
		t.Logf("%5d %s", seen[key], key)
	}
	t.Logf("%d texts; profiles applied by code: %v", len(texts), applied)
}

// said is which of the standing warnings an issue of a text is, -1 for none.
func (i issue) said(in string) int {
	return slices.IndexFunc(standing, func(s warning) bool {
		return i.ID == s.id && s.in.MatchString(in) && s.at.MatchString(i.At) && s.text.MatchString(i.Text)
	})
}
