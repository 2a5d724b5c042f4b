package onetruth

import (
	"archive/zip"
	"bytes"
	"io"
	"maps"
	"regexp"
	"strings"
	"testing"
)

// TestPlantedFaults holds the comparison itself: each face, once a fact on it is
// another, lost, or another infant's, is found to differ. TestOneTruth holds that
// the same faces do not before.
func TestPlantedFaults(t *testing.T) {
	sound := facesOnce(t, "demo")
	for _, c := range []struct {
		name, face string
		plant      func(testing.TB, *faces)
	}{
		{"a decimal is lost in the text", "text", func(t testing.TB, f *faces) {
			f.text = swap(t, f.text, "reference mark 15.0 cm", "reference mark 15 cm")
		}},
		{"a gap is shown as a blank in the text", "text", func(t testing.TB, f *faces) {
			f.text = swap(t, f.text, "ready before use: NOT CHARTED", "ready before use")
		}},
		{"two infants change places in the text", "text", func(t testing.TB, f *faces) {
			f.text = swap(t, swap(t, swap(t, f.text, "record key in-01;", "record key ?;"), "record key in-02;", "record key in-01;"),
				"record key ?;", "record key in-02;")
		}},
		{"an age that is not its moment's", "text", func(t testing.TB, f *faces) {
			f.text = swap(t, f.text, "05:05, 2 h 25 "+
				"min", "05:05, 3 h 25 min")
		}},
		{"an hour that comes twice is not said to be the second", "page",
			func(t testing.TB, f *faces) { f.html = swap(t, f.html, "set 02:25 (second)", "set 02:25") }},
		{"a row is lost from the page", "page", func(t testing.TB, f *faces) {
			f.html = regexp.MustCompile(`<tr><th scope="row">Tube</th>.*</tr>`).ReplaceAll(f.html, nil)
		}},
		{"words that nobody knows", "page", func(t testing.TB, f *faces) { f.html = swap(t, f.html, "seal held", "seal held, perhaps") }},
		{"what needs somebody loses its mark in the text", "text", func(t testing.TB, f *faces) {
			f.text = swap(t, f.text, "!! BAGGED", "BAGGED")
		}},
		{"what must be seen first is another on the page", "page", func(t testing.TB, f *faces) {
			f.html = swap(t, f.html, "INTERFACE OFF since 05:50", "INTERFACE OFF since 06:50")
		}},
		{"what comes next is a minute later on the page", "page",
			func(t testing.TB, f *faces) { f.html = swap(t, f.html, "observations 08:27", "observations 08:28") }},
		{"a thing ahead is lost from the page", "page", func(t testing.TB, f *faces) {
			f.html = swap(t, f.html, "mouth care 11:39, overdue from 17:39; ", "")
		}},
		{"what is old is told as if it were not, on the page", "page", func(t testing.TB, f *faces) {
			f.html = swap(t, f.html, "looked at 02:23 (first), 6 h old", "looked at 02:23 (first)")
		}},
		{"a doubt is not told", "text", func(t testing.TB, f *faces) {
			f.json = swap(t, f.json, `"doubts": []`, `"doubts": [{"code": "twice", "path": "observations", "text": "twice"}]`)
		}},
		{"what was confirmed is less on the page", "page", func(t testing.TB, f *faces) {
			f.html = swap(t, f.html, "confirmed: pressure, FiO2, interface, skin, tube", "confirmed: pressure, FiO2, interface, skin")
		}},
		{"what came late is another in the text", "text",
			func(t testing.TB, f *faces) { f.text = swap(t, f.text, "Care: eye care", "Care: mouth care") }},
		{"a gas loses its sign on the page", "page",
			func(t testing.TB, f *faces) { f.html = swap(t, f.html, "base excess −2.5", "base excess 2.5") }},
		{"an alarm limit is another in the text", "text",
			func(t testing.TB, f *faces) { f.text = swap(t, f.text, "SpO2 alarm low 87", "SpO2 alarm low 78") }},
		{"what was not in order at the cot is in order on the page", "page",
			func(t testing.TB, f *faces) { f.html = swap(t, f.html, "suction</bdi> NOT OK", "suction</bdi> ok") }},
		{"the run before a rotation began at another time on the page", "page",
			func(t testing.TB, f *faces) {
				f.html = swap(t, f.html, "mask from 01:54 to 05:38", "mask from 01:45 to 05:38")
			}},
		{"a number of the workbook loses its decimals", "workbook", func(t testing.TB, f *faces) { f.book = reformatted(t, f.book) }},
		{"a value changes in the CSV", "CSV", func(t testing.TB, f *faces) {
			f.csv["facts.csv"] = swap(t, f.csv["facts.csv"], "Set FiO2,37,%", "Set FiO2,73,%")
		}},
		{"not charted turns into none in the CSV", "CSV", func(t testing.TB, f *faces) {
			f.csv["facts.csv"] = swap(t, f.csv["facts.csv"], "Set FiO2,not charted,", "Set FiO2,none,")
		}},
		{"what comes next is told as due", "CSV", func(t testing.TB, f *faces) {
			f.csv["due.csv"] = swap(t, f.csv["due.csv"], "\nnext,", "\ndue,")
		}},
		{"what needs somebody now is told as what is to be known", "CSV", func(t testing.TB, f *faces) {
			f.csv["facts.csv"] = swap(t, f.csv["facts.csv"], ",UNSTABLE,now,", ",UNSTABLE,know,")
		}},
		{"a safety item that was not ok is", "CSV", func(t testing.TB, f *faces) {
			f.csv["facts.csv"] = swap(t, f.csv["facts.csv"], "Safety: suction,no,", "Safety: suction,yes,")
		}},
		{"a reading is older than its interval, and another is said to be", "CSV", func(t testing.TB, f *faces) {
			f.csv["facts.csv"] = swap(t, f.csv["facts.csv"], "old.humidifier.water", "old.humidifier.chamberC")
		}},
		{"a decimal is lost in the transaction", "transaction",
			func(t testing.TB, f *faces) { f.transaction = swap(t, f.transaction, `"value":37.0,`, `"value":37,`) }},
		{"what nobody charted is sent", "transaction", func(_ testing.TB, f *faces) {
			f.json = regexp.MustCompile(`("flowLMin": )\{[^{}]*\}`).ReplaceAll(f.json, []byte("${1}null"))
		}},
		{"an offset is another in the document", "document", func(t testing.TB, f *faces) {
			f.documents["in-02"] = swap(t, f.documents["in-02"], `"effectiveDateTime":"2026-10-25T05:05:00+01:00"`,
				`"effectiveDateTime":"2026-10-25T05:05:00+02:00"`)
		}},
		{"a figure of 24 hours is said to be of the window", "document", func(t testing.TB, f *faces) {
			f.documents["in-02"] = swap(t, f.documents["in-02"], `"effectivePeriod":{"start":"2026-10-24T08:30:00+02:00"`,
				`"effectivePeriod":{"start":"2026-10-24T19:35:00+02:00"`)
		}},
		{"what needs somebody is told without its mark", "document", func(t testing.TB, f *faces) {
			f.documents["in-01"] = swap(t, f.documents["in-01"], "<p><b>!! SKIN septum", "<p><b>SKIN septum")
		}},
		{"the plan ahead loses a moment", "document", func(t testing.TB, f *faces) {
			f.documents["in-01"] = swap(t, f.documents["in-01"], "next tube 07:55", "next tube 07:35")
		}},
		{"an infant has the document of another", "document",
			func(t testing.TB, f *faces) { f.documents["in-01"] = f.documents["in-02"] }},
		{"a fact that no row claims", "handover.json", func(t testing.TB, f *faces) {
			f.json = swap(t, f.json, `"new": false,`, `"new": false, "aura": "blue",`)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := sound
			f.csv, f.documents = maps.Clone(sound.csv), maps.Clone(sound.documents)
			c.plant(t, &f)
			found := 0
			f.hold(t, c.face, func(_ string, faults []string) bool {
				found += len(faults)
				return found == 0
			})
			if found == 0 {
				t.Errorf("planted in %s, and not found", c.face)
			}
		})
	}
}

// swap puts one text in the place of another, which has to be there.
func swap(t testing.TB, in []byte, old, with string) []byte {
	t.Helper()
	if !bytes.Contains(in, []byte(old)) {
		t.Fatalf("nothing says %q: this plants nothing", old)
	}
	return bytes.ReplaceAll(in, []byte(old), []byte(with))
}

// reformatted shows numbers of two decimals in the workbook with one.
func reformatted(t testing.TB, book []byte) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(f.Name, "styles.xml") {
			text = swap(t, text, `formatCode="0.00"`, `formatCode="0.0"`)
		}
		part, err := w.Create(f.Name)
		if err == nil {
			_, err = part.Write(text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
