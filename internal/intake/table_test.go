package intake_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
	"cotline/internal/intake"
)

func vienna(t testing.TB) intake.Tables {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	return intake.Tables{Zone: zone}
}

func mapping(t testing.TB, text string) *intake.Mapping {
	t.Helper()
	m, issues := intake.ReadMapping([]byte(text))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return m
}

// offered is what was read, one thing a line: entries as canonical text without the id, then issues, then notes.
func offered(o intake.Offer) string {
	var b strings.Builder
	for _, e := range o.Entries {
		_, text, _ := strings.Cut(string(e.AppendCanonical(nil)), ",")
		fmt.Fprintf(&b, "%d {%s\n", e.Line, text)
	}
	for _, i := range o.Issues {
		fmt.Fprintln(&b, i)
	}
	for _, n := range o.Notes {
		fmt.Fprintln(&b, "note:", n)
	}
	return b.String()
}

// id is a UUID that ends in n.
func id(n int) string { return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }

func readCSV(t testing.TB, tables intake.Tables, text string) intake.Offer {
	t.Helper()
	o, err := intake.CSV(strings.NewReader(text), tables)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// told holds what was read to what is wanted; #7 stands for an id.
func told(t testing.TB, name string, o intake.Offer, want string) {
	t.Helper()
	if diff := cmp.Diff(strings.TrimSpace(want), strings.TrimSpace(offered(o))); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

const columns = "id,infant,kind,at,by,"

func TestCSVEntries(t *testing.T) {
	id := id(1)
	start := id + ",in-1,"
	for name, c := range map[string]struct{ text, want string }{
		"a number keeps its decimals": {columns + "pressureCmH2O,fio2Percent\r\n" + start +
			"settings,2026-10-24T08:00:00+02:00,rn-1,5.0,21.50\r\n",
			`2 {"infant":"in-1","kind":"settings","at":"2026-10-24T08:00:00+02:00","by":"rn-1","pressureCmH2O":5.0,"fio2Percent":21.50}`},
		"an empty cell is left out": {columns + "pressureCmH2O,fio2Percent\n" + start + "settings,2026-10-24T08:00:00+02:00,rn-1, ,21\n",
			`2 {"infant":"in-1","kind":"settings","at":"2026-10-24T08:00:00+02:00","by":"rn-1","fio2Percent":21}`},
		"columns in any order, blanks around": {" fio2Percent ,by,at,kind,infant,id\n 21 , rn-1,2026-10-24T08:00:00+02:00,settings,in-1," +
			id,
			`2 {"infant":"in-1","kind":"settings","at":"2026-10-24T08:00:00+02:00","by":"rn-1","fio2Percent":21}`},
		"zeros before a hospital number": {columns + "born,cot,mrn\n" + start +
			"admission,2026-10-24T08:00:00+02:00,rn-1,2026-10-23,007,0012345\n",
			`2 {"infant":"in-1","kind":"admission","at":"2026-10-24T08:00:00+02:00","by":"rn-1","born":"2026-10-23","cot":"007",` +
				`"mrn":"0012345"}`},
		"the clock's time in the unit's zone": {columns + "weightG\n" + start + "weight,2026-07-01 23:30,rn-1,1210\n",
			`2 {"infant":"in-1","kind":"weight","at":"2026-07-01T23:30:00+02:00","by":"rn-1","weightG":1210}`},
		"with seconds, T between": {columns + "weightG\n" + start + "weight,2026-12-01T23:30:15,rn-1,1210\n",
			`2 {"infant":"in-1","kind":"weight","at":"2026-12-01T23:30:15+01:00","by":"rn-1","weightG":1210}`},
		"an offset is kept": {columns + "weightG\n" + start + "weight,2026-07-01T23:30:00Z,rn-1,1210\n",
			`2 {"infant":"in-1","kind":"weight","at":"2026-07-01T23:30:00Z","by":"rn-1","weightG":1210}`},
		"semicolons and decimal commas": {"\ufeff" + strings.ReplaceAll(columns, ",", ";") + "pressureCmH2O;fio2Percent\r\n" +
			strings.ReplaceAll(start, ",", ";") + "settings;2026-10-24 08:00;rn-1;5,0;21\r\n",
			`2 {"infant":"in-1","kind":"settings","at":"2026-10-24T08:00:00+02:00","by":"rn-1","pressureCmH2O":5.0,"fio2Percent":21}`},
		"nested fields as JSON": {columns + "sites,signs,silverman,recovered\n" +
			start + `skin,2026-10-24T08:00:00+02:00,rn-1,"[{""site"":""septum"",""finding"":""intact"",""also"":[""dry""]}]",,,` + "\n" +
			start + `episode,2026-10-24T08:00:00+02:00,rn-1,,"[""apnoea""]",,by-itself` + "\n" +
			start + `observations,2026-10-24T08:00:00+02:00,rn-1,,,"{""chest"": 1, ""grunt"": 0}",` + "\n",
			`2 {"infant":"in-1","kind":"skin","at":"2026-10-24T08:00:00+02:00","by":"rn-1",` +
				`"sites":[{"site":"septum","finding":"intact","also":["dry"]}]}
3 {"infant":"in-1","kind":"episode","at":"2026-10-24T08:00:00+02:00","by":"rn-1","signs":["apnoea"],"recovered":"by-itself"}
4 {"infant":"in-1","kind":"observations","at":"2026-10-24T08:00:00+02:00","by":"rn-1","silverman":{"chest":1,"grunt":0}}`},
		"a correction": {columns + "of,reason,entry\n" + start + `correction,2026-10-24T08:00:00+02:00,rn-1,` + id +
			`,misread,"{""kind"":""weight"",""at"":""2026-10-24T08:00:00+02:00"",""weightG"":1200}"` + "\n",
			`2 {"infant":"in-1","kind":"correction","at":"2026-10-24T08:00:00+02:00","by":"rn-1","of":"` + id +
				`","reason":"misread","entry":{"kind":"weight","at":"2026-10-24T08:00:00+02:00","weightG":1200}}`},
		"true and false": {columns + "held\n" + start + "seal,2026-10-24T08:00:00+02:00,rn-1,TRUE\n" + start +
			"seal,2026-10-24T08:00:00+02:00,rn-1,false\n",
			`2 {"infant":"in-1","kind":"seal","at":"2026-10-24T08:00:00+02:00","by":"rn-1","held":true}
3 {"infant":"in-1","kind":"seal","at":"2026-10-24T08:00:00+02:00","by":"rn-1","held":false}`},
		"a note of several lines, told by its row as shown": {"id,kind,at,by,text\n\n" + id +
			`,note,2026-10-24T08:00:00+02:00,rn-1,"=1+1, ""x""` + "\r\nłucja\"\n" + id + ",note,2026-10-24T08:00:00+02:00,rn-1,b\n",
			`3 {"kind":"note","at":"2026-10-24T08:00:00+02:00","by":"rn-1","text":"=1+1, \"x\"\nłucja"}
4 {"kind":"note","at":"2026-10-24T08:00:00+02:00","by":"rn-1","text":"b"}`},
		"a title above, a row prepared and not filled, cells left off": {"Ward, night; 5,5\n\n" + columns + "weightG,fio2Percent\n" + id +
			",,weight\n" + start + "weight,2026-10-24T08:00:00+02:00,rn-1,1210\n",
			`5 {"infant":"in-1","kind":"weight","at":"2026-10-24T08:00:00+02:00","by":"rn-1","weightG":1210}`},
	} {
		told(t, name, readCSV(t, vienna(t), c.text), c.want)
	}
}

func TestCSVRefuses(t *testing.T) {
	id := id(1)
	weight := func(at, g string) string {
		return columns + "weightG\n" + id + ",in-1,weight," + at + ",rn-1," + g + "\n"
	}
	const taken = `{"infant":"in-1","kind":"weight","at":"2026-10-24T08:00:00+02:00","by":"rn-1","weightG":1210}`
	note := func(text string) string {
		return "id,kind,at,by,text\n" + id + ",note,2026-10-24T08:00:00+02:00,rn-1," + text
	}
	for name, c := range map[string]struct{ text, want string }{
		"no headers": {"Weights\n1,2\n", "line 1: a row of headers among the first 20, one of them id; required: a UUID that stays " +
			"with the entry, so that the same row charted again adds nothing [missing]"},
		"nothing": {"", "line 1: a row of headers among the first 20, one of them id; required: a UUID that stays with the " +
			"entry, so that the same row charted again adds nothing [missing]"},
		"no id in a row": {columns + "weightG\n,in-1,weight,2026-10-24T08:00:00+02:00,rn-1,1210\n",
			"line 2: id: required: a UUID that stays with the entry, so that the same row charted again adds nothing [missing]"},
		"no field": {"id,kind,Weight\n" + id + ",weight,1\n",
			"line 1: Weight: a field of an entry as cotline schema tells it, or a header that the map names [unknown-field]"},
		"a field twice": {"id,kind,at,at\n", "line 1: at: found column D; each field once: in one column, or fixed in the map " +
			"[duplicate-field]"},
		"no header": {columns + "weightG\n" + id + ",in-1,weight,2026-10-24T08:00:00+02:00,rn-1,1210,kg\n" + id +
			",in-1,weight,2026-10-24T08:00:00+02:00,rn-1,1210,kg\n", "2 " + taken + "\n3 " + taken +
			"\nline 2: found column G; a header above what the column holds [unknown-field]"},
		"no kind": {columns + "weightG\n" + id + ",in-1,wieght,2026-10-24T08:00:00+02:00,rn-1,1210\n",
			"line 2: kind: found \"wieght\"; one of " + kinds() + " [unknown-kind]"},
		"of another kind": {columns + "weightG\n" + id + ",in-1,move,2026-10-24T08:00:00+02:00,rn-1,1210\n",
			"line 2: weightG: one of cot [unknown-field]\nline 2: cot: required [missing]"},
		"out of range": {weight("2026-10-24T08:00:00+02:00", "1.21"), "line 2: weightG: found 1.21; 200 to 10000 g [range]"},
		"a unit": {weight("2026-10-24T08:00:00+02:00", "1210 g"),
			"line 2: weightG: found \"1210 g\"; a number, 200 to 10000 g [type]"},
		"an exponent": {weight("2026-10-24T08:00:00+02:00", "1E3"),
			"line 2: weightG: found \"1E3\"; a number, 200 to 10000 g [type]"},
		"a comma of either": {weight("2026-10-24T08:00:00+02:00", `"1,210"`),
			"line 2: weightG: found \"1,210\"; which of two: write 1.210, or 1210 [number]"},
		"a decimal point": {strings.ReplaceAll(weight("2026-10-24 08:00", "1.210"), ",", ";"),
			"line 2: weightG: found \"1.210\"; a comma before decimals, as the file has semicolons between cells [number]"},
		"a day": {weight("2026-10-24", "1210"), "line 2: at: found \"2026-10-24\"; date and time by the clock, as " +
			"2026-10-24 07:30, or a moment as 2026-03-09T07:30:00+01:00 [format]"},
		"days first": {weight("24.10.2026 08:00", "1210"), "line 2: at: found \"24.10.2026 08:00\"; date and time by the " +
			"clock, as 2026-03-09 07:30, or a moment as 2026-03-09T07:30:00+01:00 [format]"},
		"a time shown twice": {weight("2026-10-25 02:30", "1210"),
			"line 2: at: found \"2026-10-25 02:30\"; which of two: the clock shows it twice; write 2026-10-25T02:30:00+02:00 for " +
				"the first, 2026-10-25T02:30:00+01:00 for the second [format]"},
		"a time never shown": {weight("2026-03-29 02:30", "1210"),
			"line 2: at: found \"2026-03-29 02:30\"; a time that the clock shows: it skips this one; write " +
				"2026-03-29T03:30:00+02:00 if the clock had not been put forward, 2026-03-29T01:30:00+01:00 if it had [format]"},
		"broken JSON": {columns + "sites\n" + id + ",in-1,skin,2026-10-24T08:00:00+02:00,rn-1,septum intact\n",
			`line 2: sites: found text of 13 characters; its JSON text, as in [{"site":"septum","finding":"intact",` +
				`"underBarrier":true,"action":"…","note":"…"}] [json]`},
		"more than JSON": {columns + "signs,recovered\n" + id + `,in-1,episode,2026-10-24T08:00:00+02:00,rn-1,"[""apnoea""],` +
			`""recovered"":""bagged""",by-itself` + "\n",
			`line 2: signs: found text of 31 characters; its JSON text, as in ["apnoea"] [json]`},
		"a fault in JSON": {columns + "sites\n" + id + `,in-1,skin,2026-10-24T08:00:00+02:00,rn-1,"[{""site"":""nose"",` +
			`""finding"":""intact""}]"` + "\n", "line 2: sites[0].site: found text of 4 characters; one of septum, columella, " +
			"naris-left, naris-right, bridge, philtrum, cheek-left, cheek-right, forehead, ear-left, ear-right, occiput [word]"},
		"a private text": {"id,kind,at,by,text\n" + id + ",note,2026-10-24T08:00:00+02:00,rn-1,a\tb\rc\n",
			"line 2: text: no control character (U+000D) [text]"},
		"an open quote": {note("\"open\n") + note("b\n"), "line 2: " + quotes},
		"a stray quote": {note("a\"b\n"), "line 2: " + quotes},
		"cut off": {columns + "weightG,fio2Percent\n" + id + ",in-1,weight,2026-10-24T08:00:00+02:00,rn-1,121",
			"line 2: weightG: found 121; 200 to 10000 g [range]\nline 2: a whole last row, ended by a line break: the file may be cut " +
				"off [format]"},
		"not UTF-8": {note("caf\xe9\n"), "line 2: found column E; UTF-8: save the file as CSV UTF-8 [utf8]"},
		"UTF-16":    {"\xff\xfei\x00d\x00", "line 1: found column A; UTF-8: save the file as CSV UTF-8 [utf8]"},
		"a row too long": {note("\"" + strings.Repeat("x", 2<<20)),
			"line 2: at most 1 MiB a row: a quote may not be closed [line-too-long]"},
		"a row a bit too long": {note(strings.Repeat("x", 1<<20) + "\n"), "line 2: at most 1 MiB a row [line-too-long]"},
	} {
		o := readCSV(t, vienna(t), c.text)
		told(t, name, o, c.want)
		if len(o.Issues) == 0 {
			t.Errorf("%s: taken", name)
		}
	}
}

const quotes = "quotes as in RFC 4180: a cell with a separator, quote or line break in it stands in quotes, and each quote in it is " +
	"doubled; the rows below were not read [format]"

func kinds() string {
	var names []string
	for _, k := range entry.Kinds {
		names = append(names, k.Name)
	}
	return strings.Join(names, ", ")
}
