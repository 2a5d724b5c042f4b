package ward

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Weather, plants and stones: the only words that name anybody in this package. No person's name is among them on
// purpose; a new infant or nurse takes a word from here, or a new one of that sort.
var invented = []string{
	"Zephyr", "Squall", "Rime", "Hail", "Haze", "Thaw", "Sleet", "Drizzle", "Monsoon", "Gust", "Breeze", "Mizzle",
	"Feldspar", "Quartz", "Quarts", "Marram", "Basalt", "Juniper", "Flint", "Saxifrage", "Travertine", "Lichen", "Clover",
	"Agate", "Birch", "Comet", "Dune", "Elder", "Frost", "Marl",
}

func TestDemoNamesAreInvented(t *testing.T) {
	_, entries := Demo()
	named := 0
	for _, l := range readLines(t, entries) {
		for _, field := range []string{"family", "given"} {
			var name string
			if raw, ok := l.fields[field]; ok {
				if err := json.Unmarshal(raw, &name); err != nil {
					t.Fatal(err)
				}
				named++
				if !slices.Contains(invented, name) {
					t.Errorf("%s of %s is %q", field, l.Infant, name)
				}
			}
		}
	}
	if named < 24 {
		t.Errorf("%d names looked at", named)
	}
}

func TestPolicyNamesAreInvented(t *testing.T) {
	staff := regexp.MustCompile(`\{key: ([a-z]{2})-([a-z]+), name: (Nurse|Prescriber) ([A-Za-z]+), role: ([a-z]+)\}`).FindAllSubmatch(Policy(), -1)
	if len(staff) != 7 {
		t.Fatalf("%d people", len(staff))
	}
	for _, s := range staff {
		if name := string(s[4]); !slices.Contains(invented, name) || strings.ToLower(name) != string(s[2]) {
			t.Errorf("%s", s[0])
		}
	}
	for _, address := range regexp.MustCompile(`https?://[^\s"/]+`).FindAllString(string(Policy()), -1) {
		if !strings.HasSuffix(address, ".example") { // RFC 2606: a name that nobody can own
			t.Errorf("address %s", address)
		}
	}
}

func TestRandomNamesAreInvented(t *testing.T) {
	for _, l := range randomLines(t, 6, 60, 1) {
		if l.Kind != "admission" {
			continue
		}
		var names struct{ Family, Given string }
		if err := json.Unmarshal([]byte(l.text), &names); err != nil {
			t.Fatal(err)
		}
		rest := names.Family
		for _, parts := range [][]string{stems, plants, stones} {
			for _, p := range parts {
				if after, ok := strings.CutPrefix(rest, p); ok {
					rest = after
					break
				}
			}
		}
		if rest != "" || names.Given != "" && !slices.Contains(given, names.Given) {
			t.Errorf("%s %s", names.Given, names.Family)
		}
	}
}

// Every size, step, staff key and tried cause of a ward is one that its policy lists.
func TestWardsKeepToThePolicy(t *testing.T) {
	listed := func(key string) []string {
		m := regexp.MustCompile(`(?m)^ *` + key + `: \[([^\]]*)\]`).FindSubmatch(Policy())
		if m == nil {
			t.Fatalf("the policy lists no %s", key)
		}
		return strings.Split(string(m[1]), ", ")
	}
	if got := listed("setup"); !slices.Equal(got, stepNames) {
		t.Errorf("steps %v, in the policy %v", stepNames, got)
	}
	if got := listed("safety"); !slices.Equal(got, checkNames) {
		t.Errorf("items of the safety check %v, in the policy %v", checkNames, got)
	}
	if got := regexp.MustCompile(`(?m)^timezone: (\S+)`).FindSubmatch(Policy()); string(got[1]) != zone.String() {
		t.Errorf("zone %s, in the policy %s", zone, got[1])
	}
	for _, edge := range strings.Split(strings.ReplaceAll(listed("shifts")[0]+","+listed("shifts")[1], `"`, ""), ",") {
		if at := when("21 " + edge); isDay(at) == isDay(at.Add(-minutes(1))) || !nextChange(at.Add(-minutes(1))).Equal(at) {
			t.Errorf("no change of shift at %s", edge)
		}
	}
	var bonnets []string
	for _, m := range regexp.MustCompile(`\{name: ([a-z]+), fromCm`).FindAllSubmatch(Policy(), -1) {
		bonnets = append(bonnets, string(m[1]))
	}
	causes := map[string][]string{}
	for _, about := range []string{"low-pressure", "high-pressure"} {
		causes[about] = listed(about)
	}

	_, entries := Demo()
	seen := 0
	for _, l := range append(readLines(t, entries), randomLines(t, 7, 60, 3)...) {
		var f struct {
			Type, Size, About string
			Steps             []step
			Tried             []cause
		}
		if err := json.Unmarshal([]byte(l.text), &f); err != nil {
			t.Fatal(err)
		}
		ok := strings.Contains(string(Policy()), "{key: "+l.By+",")
		switch {
		case l.Kind == "interface" && f.Type != "off" && f.Size != "":
			ok = ok && slices.Contains(listed(f.Type), f.Size)
			seen++
		case l.Kind == "bonnet" && f.Size != "":
			ok = ok && slices.Contains(bonnets, f.Size)
			seen++
		}
		for _, s := range f.Steps {
			ok = ok && slices.Contains(stepNames, s.Step)
		}
		for _, c := range f.Tried {
			ok = ok && slices.Contains(causes[f.About], c.Cause)
		}
		if !ok {
			t.Errorf("not of the policy: %s", l.text)
		}
	}
	if seen < 500 {
		t.Errorf("%d sizes looked at", seen)
	}
}
