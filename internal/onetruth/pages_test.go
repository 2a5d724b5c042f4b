package onetruth

import (
	"bytes"
	"encoding/csv"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/cli/clitest"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
	"cotline/internal/web"
)

// pages are what the server shows of a stored record, and what the command line makes of it
// at the same moment.
type pages struct {
	faces
	ward            []byte
	infants, tables map[string][]byte // by infant
}

// pagesOf keeps entries as a stored record and asks for its pages as a nurse does.
func pagesOf(t testing.TB, entries []byte, moment string) pages {
	t.Helper()
	var all []*entry.Entry
	at := wardtest.Moment(t, moment)
	for line := range bytes.Lines(entries) {
		e := wardtest.Entry(t, line)
		all = append(all, e)
		if e.Charted.After(at) { // a server's clock is not behind what it took
			at = e.Charted.Time
		}
	}
	if on := at.Truncate(time.Minute); !on.Equal(at) { // a page is of the end of the minute
		at = on.Add(time.Minute)
	}
	file := filepath.Join(t.TempDir(), "ward.db")
	store, err := sqlite.Open(t.Context(), file, true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() }) // it was only read last
	now := func() time.Time { return at }
	policy := wardtest.Policy(t, ward.Policy())
	j := &journal.Journal{Store: store, Unit: "unit", Now: now, Engine: "test",
		Compile: func(handover.Ward, time.Time, time.Time, journal.Head) []byte { return []byte("{}\n") }}
	if _, err := j.Append(t.Context(), policy, journal.Offer(all)); err != nil {
		t.Fatal(err)
	}
	a, _, _ := accesstest.New("ward")
	a.Now = now
	accesstest.Add(t, a, "ward", "nurse", access.Nurse)
	s, err := web.New(web.Config{Units: map[string]*journal.Journal{"ward": j}, Access: a, Now: now, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	token := accesstest.In(t, a, "nurse").Token
	get := func(path string) []byte {
		t.Helper()
		w, r := httptest.NewRecorder(), httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil)
		r.Header.Set("Cookie", "cotline-session="+token)
		s.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			t.Fatal(path, w.Code)
		}
		return w.Body.Bytes()
	}
	p := pages{infants: map[string][]byte{}, tables: map[string][]byte{}}
	p.at, p.zone, p.csv = at, policy.Zone, map[string][]byte{}
	stamp, dir := at.Format(time.RFC3339), filepath.Join(t.TempDir(), "csv")
	p.json = clitest.Run(t, stamp, "handover", "--format", "json", "--record", file, "--at", stamp)
	clitest.Run(t, stamp, "workbook", "--csv", dir, "--record", file, "--at", stamp)
	p.csv["facts.csv"] = read(t, filepath.Join(dir, "facts.csv"))
	p.ward = get("/units/ward/ward")
	for _, infant := range factsOfJSON(t, p.json).infants() {
		path := "/units/ward/infants/" + url.PathEscape(infant)
		p.infants[infant], p.tables[infant] = get(path), get(path+"/facts")
	}
	return p
}

// TestOneTruthOnPages takes every fact out of the pages of the ward and its infants: the
// sentences by the grammar of the other faces in words, each figure with its entry, and the
// ward's lines.
func TestOneTruthOnPages(t *testing.T) {
	demo := func() ([]byte, string) {
		_, entries := ward.Demo()
		return entries, ward.DemoAt
	}
	random := func() ([]byte, string) {
		var entries bytes.Buffer
		last := ""
		for line := range ward.Random(5, 12, 4) {
			entries.Write(line)
			last = happened.FindStringSubmatch(string(line))[1]
		}
		return entries.Bytes(), last
	}
	for name, make := range map[string]func() ([]byte, string){"demo": demo, "seed 5": random} {
		t.Run(name, func(t *testing.T) {
			entries, at := make()
			p := pagesOf(t, entries, at)
			for _, fault := range p.differ(t) {
				t.Error(fault)
			}
			if name != "demo" {
				return
			}
			for what, plant := range plantedOnPages {
				q := p
				q.infants, q.tables = map[string][]byte{}, map[string][]byte{}
				for infant := range p.infants {
					q.infants[infant], q.tables[infant] = p.infants[infant], p.tables[infant]
				}
				plant(t, &q)
				if len(q.differ(t)) == 0 {
					t.Errorf("%s, and that is not found", what)
				}
			}
		})
	}
}

// plantedOnPages are faults that must be found.
var plantedOnPages = map[string]func(testing.TB, *pages){
	"an infant's line has another's FiO2": func(t testing.TB, p *pages) { p.ward = swap(t, p.ward, "<dd>37 %", "<dd>73 %") },
	"a trend has the other direction":     func(t testing.TB, p *pages) { p.ward = swap(t, p.ward, "up from 34", "down from 34") },
	"what was raised is unchanged": func(t testing.TB, p *pages) {
		p.ward = swap(t, p.ward, "25 to 30 in the window", "unchanged")
	},
	"what needs somebody loses its mark": func(t testing.TB, p *pages) {
		p.ward = swap(t, p.ward, `<span class="eyes">!!</span> <bdi>UNSTABLE`, "<bdi>UNSTABLE")
	},
	"what is next is a minute later": func(t testing.TB, p *pages) { p.ward = swap(t, p.ward, "next tube 07:55", "next tube 07:56") },
	"a reading is another in a sentence": func(t testing.TB, p *pages) {
		p.infants["in-02"] = swap(t, p.infants["in-02"], "SpO2 89 % (foot)", "SpO2 98 % (foot)")
	},
	"a figure leads to another entry": func(t testing.TB, p *pages) {
		_, rest, _ := strings.Cut(string(p.infants["in-02"]), `data-fact="settings.pressureCmH2O"><a href="`)
		href, _, _ := strings.Cut(rest, `"`)
		p.infants["in-02"] = swap(t, p.infants["in-02"], href, href+"0")
	},
	"a figure is lost from the table": func(t testing.TB, p *pages) {
		p.tables["in-02"] = swap(t, p.tables["in-02"], `data-fact="settings.fio2Percent"`, "")
	},
}

// differ says where pages and handover differ.
func (p pages) differ(t testing.TB) []string {
	t.Helper()
	truth := factsOfJSON(t, p.json)
	for key := range truth { // who left goes from the pages after three days
		of, path, _ := strings.Cut(key, "].")
		if gone := wordsOnlyAt(truth[of+"].at"]); strings.HasPrefix(key, unit+" left[") && path != "" && p.at.Sub(gone) > 72*time.Hour {
			delete(truth, key)
		}
	}
	want := truth.expectedInWords()
	for key := range want { // the pages stand on the present record
		if slices.Contains([]string{"policy", "known"}, general(key)) {
			delete(want, key)
		}
	}
	got := p.read(t)
	return slices.Concat(got.faults, differ(want, got.facts), p.lines(t, truth), p.figures(t))
}

func wordsOnlyAt(stamp string) time.Time {
	at, _ := time.Parse(time.RFC3339, stamp) // the zero time for none
	return at
}

// read takes the facts out of the sentences of the ward's page and the infants'.
func (p pages) read(t testing.TB) *faceReader {
	r := p.faceReader()
	doc := parsed(t, p.ward)
	top := labelled{rows: []line{{"Unit", content(find(doc, "h1")[0])}, {"Handover", content(find(doc, "time")[0])}}}
	for _, section := range byClass(doc, "rest") {
		top.rows = append(top.rows, rowsIn(section)...)
	}
	all := []labelled{{}}
	for _, infant := range slices.Sorted(func(yield func(string) bool) {
		for key := range p.infants {
			if !yield(key) {
				return
			}
		}
	}) {
		doc := parsed(t, p.infants[infant])
		h1 := find(doc, "h1")[0]
		number := strings.TrimPrefix(content(byClass(h1, "number")[0]), "no. ")
		if number != "no number" {
			number = "number " + number
		}
		part := labelled{called: content(byClass(h1, "cot")[0]) + ": " + content(byClass(h1, "name")[0]) + ", " + number}
		var who []string
		for _, li := range find(byClass(doc, "identity")[1], "li") {
			who = append(who, content(li))
		}
		part.rows = append(part.rows, line{"", p.wholeLook(t, infant)}, line{"Who", strings.Join(who, "; ")})
		for _, section := range find(doc, "section") {
			if class(section) != "topic" && attribute(section, "aria-labelledby") != "full" {
				continue
			}
			for _, l := range rowsIn(section) {
				if l.label != "Growth by" {
					part.rows = append(part.rows, l)
				} else if !slices.Contains(top.rows, l) {
					top.rows = append(top.rows, l)
				}
			}
		}
		all = append(all, part)
	}
	all[0] = top
	r.read(r.allWithoutAges(all))
	return r
}

// wholeLook is what must be seen first: of an infant's line on the ward's page, which has
// all of it. What the infant's own page has above its lines is held to that.
func (p pages) wholeLook(t testing.TB, infant string) string {
	return lookIn(p.line(t, infant))
}

func lookIn(n *html.Node) string {
	var now, know []string
	for _, at := range byClass(n, "now") {
		now = append(now, content(at))
	}
	for _, at := range byClass(n, "know") {
		if words := content(at); words != "nothing to look at first" {
			know = append(know, words)
		}
	}
	return strings.Join(now, "; ") + " " + strings.Join(know, "; ")
}

// line is an infant's on the ward's page.
func (p pages) line(t testing.TB, infant string) *html.Node {
	t.Helper()
	for _, li := range byClass(parsed(t, p.ward), "line") {
		for _, a := range find(li, "a") {
			if attribute(a, "href") == "/units/ward/infants/"+url.PathEscape(infant) {
				return li
			}
		}
	}
	t.Fatal(infant, "has no line")
	return nil
}

// figures holds each figure of the infant's page, and of its table, to the sheet of facts.
func (p pages) figures(t testing.TB) (faults []string) {
	rows, err := csv.NewReader(bytes.NewReader(p.csv["facts.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][]string{}
	for _, cells := range rows[1:] {
		r := rowOf(t, rows[0], cells)
		if infant := r["Infant's key"]; p.infants[infant] != nil && !strings.HasPrefix(r["Path"], "late.") {
			want[infant] = append(want[infant], strings.Join([]string{r["Path"], r["Fact"], onPage(r["Value"]),
				onPage(r["Unit or remark"]), entryOf(r["Entry"])}, " | "))
		}
	}
	for infant := range p.infants {
		slices.Sort(want[infant])
		for where, text := range map[string][]byte{"page": p.infants[infant], "table": p.tables[infant]} {
			got := figuresIn(parsed(t, text))
			slices.Sort(got)
			for _, x := range want[infant] {
				if !slices.Contains(got, x) {
					faults = append(faults, infant+", "+where+": no figure "+x)
				}
			}
			for _, x := range got {
				if !slices.Contains(want[infant], x) {
					faults = append(faults, infant+", "+where+": the figure "+x+" is of no fact")
				}
			}
			if len(got) != len(want[infant]) {
				faults = append(faults, infant+", "+where+": a figure stands twice")
			}
		}
	}
	return faults
}

// onPage is a cell of CSV as a page shows it.
func onPage(cell string) string {
	cell = strings.TrimPrefix(cell, "'")
	if at, err := time.Parse(time.RFC3339, cell); err == nil {
		cell = at.Format(time.DateTime) // its offset stands beside it
	}
	if cell == none {
		return ""
	}
	return strings.Join(strings.Fields(cell), " ")
}

func entryOf(cell string) string {
	if len(cell) != 36 {
		return ""
	}
	return cell
}

// figuresIn are the figures of a page: path, name, value, what stands beside it, entry.
func figuresIn(doc *html.Node) (out []string) {
	for n := range doc.Descendants() {
		path := attribute(n, "data-fact")
		if path == "" {
			continue
		}
		var parts []string
		bdi := find(n, "bdi")
		if n.Data == "tr" {
			parts = []string{content(find(n, "th")[0]), content(bdi[0]), content(bdi[1])}
		} else {
			parts = []string{content(byClass(n, "fact")[0]), content(bdi[0]), ""}
			if len(bdi) > 1 {
				parts[2] = content(bdi[1])
			}
		}
		led := ""
		for _, a := range find(n, "a") {
			_, led, _ = strings.Cut(attribute(a, "href"), "#e-")
		}
		for i := 1; i < 3; i++ {
			parts[i] = onPage(parts[i])
		}
		out = append(out, strings.Join([]string{path, parts[0], parts[1], parts[2], led}, " | "))
	}
	return out
}

func parsed(t testing.TB, text []byte) *html.Node {
	t.Helper()
	doc, err := html.Parse(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func byClass(n *html.Node, name string) (out []*html.Node) {
	for c := range n.Descendants() {
		if slices.Contains(strings.Fields(attribute(c, "class")), name) {
			out = append(out, c)
		}
	}
	return out
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// rowsIn are the labelled lines below an element.
func rowsIn(n *html.Node) (out []line) {
	for _, div := range find(n, "div") {
		label, fact := find(div, "dt"), find(div, "dd")
		if len(label) != 1 || len(fact) != 1 {
			continue
		}
		var said []string
		for _, span := range byClass(fact[0], "fact") {
			words := content(span)
			if strings.Contains(" "+class(span)+" ", " apart ") {
				words = "!! " + words
			}
			said = append(said, words)
		}
		out = append(out, line{content(label[0]), strings.TrimPrefix(strings.Join(said, "; "), "!! ")})
	}
	return out
}
