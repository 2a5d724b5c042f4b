package r4

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

// The forms as FHIR R4 gives them (hl7.org/fhir/R4/datatypes.html): id; instant,
// which is what dateTime is once it has a time of day; uuid, here a fullUrl of RFC 9562.
var forms = []struct {
	name string
	is   func(string) bool
	form *regexp.Regexp
}{
	{"time", isTime, regexp.MustCompile(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])` +
		`T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]+)?(Z|[+-]((0[0-9]|1[0-3]):[0-5][0-9]|14:00))$`)},
	{"id", isID, regexp.MustCompile(`^[A-Za-z0-9\-\.]{1,64}$`)},
	{"fullUrl", isFullURL, regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)},
}

func TestForms(t *testing.T) {
	for _, f := range forms {
		sound := rapid.StringMatching(f.form.String())
		t.Run(f.name, rapid.MakeCheck(func(t *rapid.T) {
			b := []byte(sound.Draw(t, "sound"))
			if !f.is(string(b)) {
				t.Fatalf("%q is one", b)
			}
			for range rapid.IntRange(1, 2).Draw(t, "changes") {
				at := rapid.IntRange(0, len(b)-1).Draw(t, "at")
				if rapid.Bool().Draw(t, "cut") && len(b) > 1 {
					b = append(b[:at], b[at+1:]...)
				} else {
					b[at] = rapid.SampledFrom([]byte("0123456789abfgAFTZz:.-+ _\n\xc3")).Draw(t, "byte")
				}
			}
			if is := f.is(string(b)); is != f.form.Match(b) {
				t.Fatalf("%q: %t", b, is)
			}
		}))
	}
	for _, s := range []string{"", "2026-03-01T09:00:00", "2026-03-01T09:00:00.Z", "2026-03-01T09:00:00+14:01", "2026-03-01T24:00:00Z",
		"2026-03-01T09:00:00Z\n"} {
		if isTime(s) {
			t.Errorf("%q is no time", s)
		}
	}
}
