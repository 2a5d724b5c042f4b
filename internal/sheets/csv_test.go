package sheets

import (
	"bytes"
	"encoding/csv"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/handover/entry"
)

func preset(t testing.TB, name string) Preset {
	t.Helper()
	p, ok := PresetOf(name)
	if !ok {
		t.Fatalf("no preset %s", name)
	}
	return p
}

// csvOf is every file of a handover's CSV, by name.
func csvOf(t testing.TB, d demo, name string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	err := CSV(preset(t, name), d.handover, d.entries, d.policy, "0.0.0-test", func(name string, write func(io.Writer) error) error {
		var b bytes.Buffer
		err := write(&b)
		files[name] = b.Bytes()
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// demoCSV are the demo's files by a preset, written once for all tests that only look.
func demoCSV(t testing.TB, name string) map[string][]byte {
	t.Helper()
	if onceCSV[name] == nil {
		onceCSV[name] = csvOf(t, demoWard(t), name)
	}
	return onceCSV[name]
}

var onceCSV = map[string]map[string][]byte{}

// parse reads CSV by the standard library, which follows RFC 4180.
func parse(t testing.TB, data []byte, comma rune) [][]string {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma = comma
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// unguarded takes off the apostrophe that guards a text.
func unguarded(s string) string {
	if rest, ok := strings.CutPrefix(s, "'"); ok && armed(rest) {
		return rest
	}
	return s
}

// Every cell of the CSV is that of the workbook, as another program shows it; a column that the workbook leaves out
// holds no value in the CSV either, or the one offset that a header says.
func TestCSVTellsWhatTheWorkbookTells(t *testing.T) {
	_, o := demoBook(t)
	for _, p := range Presets {
		files := demoCSV(t, p.Name)
		cells, compared := 0, 0
		for _, sheet := range o.a.GetSheetList() {
			data, ok := files[fileOf(sheet)]
			if !ok || sheet == skinName || sheet == aboutName { // TestSkinSheet; About counts other tables
				continue
			}
			compared++
			header, rows := o.rows(sheet)
			got := parse(t, bytes.TrimPrefix(data, []byte(p.mark)), p.comma)
			column := map[string]int{}
			for i, h := range header {
				column[oneOffset.ReplaceAllString(h, ")")] = i
			}
			none := len(got) == 1 && len(rows) == 1 && len(rows[0]) == 1 // the line that says there is none
			if len(got)-1 != len(rows) && !none {
				t.Fatalf("%s, %s: %d rows, want %d", p.Name, sheet, len(got)-1, len(rows))
			}
			offsets := map[string]bool{}
			for i, row := range got[1:] {
				for j, v := range row {
					cells++
					at, kept := column[got[0][j]]
					switch {
					case kept && asShown(p, v) != rows[i][at]:
						t.Errorf("%s, %s, row %d, %s: %q, want %q", p.Name, sheet, i+1, got[0][j], v, rows[i][at])
					case !kept && strings.HasPrefix(v, "UTC"):
						offsets[v] = true
					case !kept && v != "whole day" && !word(v).filler():
						t.Errorf("%s, %s, row %d, %s: the workbook has not %q", p.Name, sheet, i+1, got[0][j], v)
					}
				}
			}
			if len(offsets) > 1 {
				t.Errorf("%s, %s: the workbook has not the offsets %v", p.Name, sheet, offsets)
			}
		}
		if cells < 50_000 || compared < 13 {
			t.Errorf("%s: only %d cells of %d tables compared", p.Name, cells, compared)
		}
	}
}

// A site of a check is one cell of the workbook and a row of the CSV, and both say the same.
func TestSkinSheet(t *testing.T) {
	_, o := demoBook(t)
	matrix := map[string]row{}
	for _, r := range o.records(skinName) {
		matrix[r["Entry"]] = r
	}
	rows := parse(t, demoCSV(t, "machine")["skin.csv"], ',')
	seen := 0
	for _, cells := range rows[1:] {
		r := row{}
		for i, h := range rows[0] {
			r[h] = cells[i]
		}
		want := []string{}
		for _, part := range []string{"Finding", "Also"} {
			if r[part] != notCharted {
				want = append(want, r[part])
			}
		}
		for _, part := range []string{"Under a barrier", "Action", "Note"} {
			if r[part] != notCharted {
				want = append(want, part+": "+r[part])
			}
		}
		if got := matrix[r["Entry"]][siteHead(r["Site"])]; got != strings.Join(want, "; ") {
			t.Errorf("%s: %q, want %q", r["Site"], got, want)
		}
		seen++
	}
	told := 0
	for _, r := range matrix {
		for _, site := range entry.Sites {
			if v, ok := r[siteHead(site)]; ok && v != notSeen {
				told++
			}
		}
	}
	if seen < 200 || told != seen {
		t.Errorf("%d sites in the CSV, %d in the workbook", seen, told)
	}
}

var withComma = regexp.MustCompile(`^-?[0-9]+,[0-9]+$`)

// asShown is a cell as the workbook would show it.
func asShown(p Preset, v string) string {
	for _, form := range []string{time.RFC3339, "2006-01-02 15:04:05"} {
		if at, err := time.Parse(form, v); err == nil {
			return at.Format("2006-01-02 15:04")
		}
	}
	if offset := strings.TrimPrefix(v, "UTC"); len(offset) == len("+01:00") && len(v) == len("UTC+01:00") {
		return offset
	}
	if p.decimal == "," && withComma.MatchString(v) {
		return strings.Replace(v, ",", ".", 1)
	}
	return unguarded(v)
}

// one is a table of one row under the headers a, b, c…
func one(cells ...cell) sheet {
	var columns []column[int]
	for i, c := range cells {
		columns = append(columns, column[int]{string(rune('a' + i)), 0, func(int) cell { return c }})
	}
	return table("Test", "", upTo(1), func(int) string { return "" }, columns...)
}

func written1(t testing.TB, name string, cells ...cell) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := preset(t, name).table(&b, one(cells...)); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The forms to the byte: RFC 4180 for programs; mark, semicolon and decimal comma for a spreadsheet program. A moment of
// each of the two hours of the night the clock goes back, leading zeros, decimals as charted, a line break as charted.
func TestCSVForms(t *testing.T) {
	c := clock{zone(t, "Europe/Vienna")}
	night := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC)
	moments := momentColumns(c, "m", func(t time.Time) cell { return c.moment(t, none) })
	cells := []cell{
		text("0012345", none), number(dec(t, "22.50")), number(dec(t, "-1.29")), moments[0].cell(night), moments[1].cell(night),
		moments[0].cell(
			night.Add(time.Hour),
		), moments[1].cell(night.Add(time.Hour)), day(date(t, "2026-03-01"), none), text("a;b,\"c\"\nd", none), word(notCharted),
	}
	for name, want := range map[string]string{
		"machine": "a,b,c,d,e,f,g,h,i,j\r\n" +
			"0012345,22.50,-1.29,2026-10-25T02:30:00+02:00,UTC+02:00,2026-10-25T02:30:00+01:00,UTC+01:00,2026-03-01,\"a;b," +
			"\"\"c\"\"\nd\",not charted\r\n",
		"local": "\ufeffa;b;c;d;e;f;g;h;i;j\r\n" +
			"0012345;22,50;-1,29;2026-10-25 02:30:00;UTC+02:00;2026-10-25 02:30:00;UTC+01:00;2026-03-01;\"a;b,\"\"c\"\"\nd\";not " +
			"charted\r\n",
	} {
		if diff := cmp.Diff(want, written1(t, name, cells...)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

// Names of other languages come through both presets.
func TestCSVNames(t *testing.T) {
	for name, comma := range map[string]rune{"machine": ',', "local": ';'} {
		names := []string{"Łucja Żółć", "Zoë Brûlé-Œuf", "Siân Tŷ-ŵyn", "Nguyễn", "שלום", "👩‍⚕️"}
		var cells []cell
		for _, n := range names {
			cells = append(cells, text(n, none))
		}
		got := parse(t, []byte(strings.TrimPrefix(written1(t, name, cells...), "\ufeff")), comma)[1]
		if diff := cmp.Diff(names, got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// No text starts as a formula may (OWASP, CSV Injection: = + - @ tab CR, full-width forms), numbers are left alone, and
// taking off one apostrophe gives the text back.
func TestCSVGuards(t *testing.T) {
	for _, s := range []string{"=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠x", " =1", " '+1", "\u00a0=1",
		"\u200b=1", "'=1", "''=1", "=cmd|' /C calc'!A0"} {
		if got := guarded(s); got != "'"+s {
			t.Errorf("%q is written as %q", s, got)
		}
	}
	for _, s := range []string{"", "'", "a=1", "0012345", "'quoted'", "1-2", " a", "–1", "#N/A"} {
		if got := guarded(s); got != s {
			t.Errorf("%q is written as %q", s, got)
		}
	}
	if got := written1(t, "machine", number(dec(t, "-0.5")), text("-0.5", none)); got != "a,b\r\n-0.5,'-0.5\r\n" {
		t.Errorf("%q", got)
	}
	first := regexp.MustCompile("^['\\s\u200b\ufeff]*[=+@＝＋－＠\\-]")
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`['=+\-@ ＝＋－＠\t\na\x{200b}\x{feff}]{0,6}`).Draw(t, "text")
		got := guarded(s)
		if unguarded(got) != s {
			t.Errorf("%q is written as %q and read as %q", s, got, unguarded(got))
		}
		if first.MatchString(s) && got[0] != '\'' {
			t.Errorf("%q is written as %q", s, got)
		}
	})
}

// Hostile texts of a record come out guarded, one cell each.
func TestCSVOfHostileTexts(t *testing.T) {
	var cells []cell
	for _, s := range hostile[:len(hostile)-2] {
		cells = append(cells, text(s, none))
	}
	for name, comma := range map[string]rune{"machine": ',', "local": ';'} {
		got := parse(t, []byte(strings.TrimPrefix(written1(t, name, cells...), "\ufeff")), comma)[1]
		for i, s := range hostile[:len(hostile)-2] {
			if unguarded(got[i]) != undirected(s) {
				t.Errorf("%s: %q is read as %q", name, s, got[i])
			}
			if strings.ContainsAny(got[i][:1], "=+-@\t\r") {
				t.Errorf("%s: %q starts as a formula", name, got[i])
			}
		}
	}
}

// Every column of every table is told, by a meaning and a type; and nothing is told that is no column.
func TestDictionary(t *testing.T) {
	files := demoCSV(t, "machine")
	rows := parse(t, files["dictionary.csv"], ',')[1:]
	told := map[string][]string{}
	used := map[string]bool{}
	for _, r := range rows {
		told[r[0]] = append(told[r[0]], r[1])
		if r[2] == none || r[4] == none {
			t.Errorf("%s, %s is not told: %q", r[0], r[1], r)
		}
		sheet := strings.ToUpper(r[0][:1]) + strings.TrimSuffix(r[0][1:], ".csv")
		if r[0] == fileOf(moreName) {
			sheet = moreName
		}
		name := strings.TrimSuffix(r[1], " (Europe/Vienna)")
		if _, ok := meanings[sheet+"."+name]; ok {
			name = sheet + "." + name
		}
		used[name] = true
	}
	for file, data := range files {
		if file == "README.txt" {
			continue
		}
		if diff := cmp.Diff(parse(t, data, ',')[0], told[file]); diff != "" {
			t.Errorf("%s: %s", file, diff)
		}
	}
	for name := range meanings {
		if !used[name] {
			t.Errorf("%s is told and is no column", name)
		}
	}
	want := [][]string{
		{"settings.csv", "Set pressure (cmH2O)", "Settings: Set pressure", "cmH2O", "number, 0 to 20"},
		{
			"observations.csv",
			"Silverman-Andersen: Upper chest",
			"Observations: Silverman-Andersen: Upper chest",
			none,
			"whole number, 0 to 2",
		},
		{"growth.csv", "Weight (g)", "Weight", "g", "number, 200 to 10000"},
		{"skin.csv", "Under a barrier", "Skin check: Under a barrier", none, "yes or no"},
		{"due.csv", "Due, offset from UTC", "the offset of: Due", none, "offset"},
		{"entries.csv", "Happened (Europe/Vienna)", "when it happened", none, "moment in Europe/Vienna"},
	}
	for _, w := range want {
		if !slices.ContainsFunc(rows, func(r []string) bool { return slices.Equal(r, w) }) {
			t.Errorf("the dictionary lacks %q", w)
		}
	}
}

// The folder says what it is, with the caution, and names every file of it.
func TestCSVReadme(t *testing.T) {
	d, _ := demoBook(t)
	for _, p := range Presets {
		files := demoCSV(t, p.Name)
		text := string(files["README.txt"])
		for _, want := range []string{"not a device, a monitor or an order", "Look at the infant", "2026-10-25T07:30:00+01:00",
			"preset " + p.Name, "apostrophe", "Confidential"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: README.txt lacks %q", p.Name, want)
			}
		}
		for name := range files {
			if !strings.Contains(text, name) && name != "README.txt" {
				t.Errorf("%s: README.txt does not name %s", p.Name, name)
			}
			if strings.Contains(text, "Feldspar") {
				t.Errorf("%s: README.txt holds a name", p.Name)
			}
		}
		if again := csvOf(t, d, p.Name); !maps.EqualFunc(files, again, bytes.Equal) {
			t.Errorf("%s: two folders differ", p.Name)
		}
	}
}

// A disk that is full is told.
func TestCSVWriteFails(t *testing.T) {
	d, _ := demoBook(t)
	err := CSV(preset(t, "machine"), d.handover, d.entries, d.policy, "x", func(_ string, write func(io.Writer) error) error {
		return write(failing{})
	})
	if err != errDisk {
		t.Errorf("got %v", err)
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errDisk }
