package web

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/sheets"
)

// sends posts a file.
func (v *visitor) sends(t testing.TB, name string, text []byte) result {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	f, err := w.CreateFormFile("file", name)
	if err == nil {
		_, err = f.Write(text)
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	r := v.request(t, http.MethodPost, "/units/fern/sheet", nil)
	r.Body, r.ContentLength = io.NopCloser(&body), int64(body.Len())
	r.Header.Set("Content-Type", w.FormDataContentType())
	return v.do(t, r)
}

// The tables on the page are those of the workbook and of CSV, cell by cell.
func TestTables(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "clerk")
	if to := v.get(t, "/").header.Get("Location"); to != "/units/fern/tables" {
		t.Errorf("the clerk comes to %s", to)
	}
	files := unzipped(t, v.post(t, "/units/fern/tables/export", url.Values{"what": {"tables"}}).body)
	if len(files) < 10 || files["README.txt"] == "" || files["dictionary.csv"] == "" {
		t.Fatalf("%d files", len(files))
	}
	seen := 0
	for name, text := range files {
		if name == "README.txt" || name == "dictionary.csv" || name == "about.csv" {
			continue
		}
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			t.Fatal(name, err)
		}
		got := v.get(t, "/units/fern/tables?table="+url.QueryEscape(name))
		if got.status != http.StatusOK {
			t.Fatal(name, got.status)
		}
		page := wordsOf(nodes(t, got.body, "table")[0])
		for i, row := range rows {
			if i > mostRows {
				break
			}
			for _, cell := range row {
				cell = strings.Join(strings.Fields(cell), " ")
				if _, err := time.Parse(time.RFC3339, cell); err != nil && !strings.HasPrefix(cell, "'") && !strings.Contains(page, cell) {
					t.Fatalf("%s, row %d: %q is not on the page", name, i, cell)
				}
			}
		}
		if more := len(rows) - 1 - mostRows; more > 0 && !strings.Contains(got.body, whole(more)+" more rows") {
			t.Errorf("%s: %d more rows, and the page does not say so", name, more)
		}
		if one := v.post(t, "/units/fern/tables/export", url.Values{"what": {"csv"}, "table": {name}}); one.body != text {
			t.Errorf("%s by itself is another", name)
		}
		seen++
	}
	if seen == 0 {
		t.Error("no table was looked at")
	}
	r, err := b.access.Trace(t.Context(), console, from, "fern", access.About{Who: "clerk", Kinds: []access.EventKind{access.Exported}})
	if err != nil || len(r.Events) != seen+1 {
		t.Errorf("%d traced, %v", len(r.Events), err)
	}
}

func unzipped(t testing.TB, text string) map[string]string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(text), int64(len(text)))
	if err != nil {
		t.Fatal(err, text[:min(len(text), 300)])
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(b)
	}
	return out
}

// The workbook that is downloaded is the one that the command line writes of the same
// record; one of a moment tells of that moment.
func TestDownloads(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "clerk")
	got := v.post(t, "/units/fern/tables/export", url.Values{"what": {"workbook"}})
	r, now := b.held(t), b.fern.clock.Now()
	ward := r.Ward(r.Policies.Now)
	h := handover.Compile(ward, now, now, time.Time{})
	h.Position, h.Chain = r.Head.Position, r.Head.Chain.String()
	c := &charting{Server: b.Server, journal: b.fern.Journal, now: now}
	c.r = &request{Request: v.request(t, http.MethodGet, "/", nil)}
	of, err := c.spanned(span{at: now})
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if err := sheets.Workbook(&want, h, of.entries, ward.Policy, b.fern.Engine); err != nil {
		t.Fatal(err)
	}
	if got.body != want.String() {
		t.Error("the workbook is another")
	}
	if name := got.header.Get("Content-Disposition"); !strings.Contains(name, "handover-fern-") || !strings.HasSuffix(name, `.xlsx"`) {
		t.Errorf("file: %s", name)
	}
	then := now.Add(-6 * time.Hour).Format(time.RFC3339)
	early := v.post(t, "/units/fern/tables/export", url.Values{"what": {"workbook"}, "at": {then}})
	if early.status != http.StatusOK || early.body == got.body ||
		early.header.Get("Content-Disposition") == got.header.Get("Content-Disposition") {
		t.Errorf("of an earlier moment: %d", early.status)
	}
	bundles := unzipped(t, v.post(t, "/units/fern/tables/export", url.Values{"what": {"bundle"}}).body)
	for name, text := range bundles {
		if !strings.HasPrefix(name, "transaction-") || !strings.HasPrefix(text, "{") {
			t.Errorf("%s: %.60s", name, text)
		}
	}
	for _, posted := range []url.Values{{}, {"what": {"csv"}, "table": {"none"}}, {"what": {"workbook"}, "at": {"yesterday"}},
		{"what": {"workbook"}, "at": {now.Add(time.Hour).Format(time.RFC3339)}}} {
		if got := v.post(t, "/units/fern/tables/export", posted); got.status != http.StatusUnprocessableEntity {
			t.Errorf("%v: %d", posted, got.status)
		}
	}
}

// A workbook that was filled in is taken whole, once, or not at all: what is wrong is said
// by its cell.
func TestSheetsComeBack(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, before := b.as(t, "clerk"), b.head(t)
	book, err := excelize.OpenReader(strings.NewReader(v.post(t, "/units/fern/sheet/template", url.Values{"names": {"yes"}}).body))
	if err != nil {
		t.Fatal(err)
	}
	rounds := book.GetSheetList()[0]
	rows, err := book.GetRows(rounds)
	if err != nil {
		t.Fatal(err)
	}
	head, column := 0, map[string]string{}
	for i, row := range rows {
		if head == 0 && slices.Contains(row, "id") {
			head = i + 1
			for n, text := range row {
				if column[text], err = excelize.ColumnNumberToName(n + 1); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	two := b.two(t)
	set := func(field string, row int, value any) string {
		t.Helper()
		if column[field] == "" {
			t.Fatalf("no column %s in %v", field, column)
		}
		cell := fmt.Sprint(column[field], head+row)
		if err := book.SetCellValue(rounds, cell, value); err != nil {
			t.Fatal(err)
		}
		return cell
	}
	choices := sheets.Choices(look(t, b.fern.live()).Ward(), true)
	for row, f := range two {
		for _, c := range choices {
			if c.Key == f.Infant {
				set("infant", row+1, c.Shown)
			}
		}
		set("at", row+1, b.fern.clock.Now().Format(time.RFC3339))
		set("by", row+1, "rn-agate")
		set("observations.spo2Percent", row+1, 93+row)
	}
	cell := set("observations.heartRateBpm", 2, 900)
	written := func() []byte {
		t.Helper()
		var out bytes.Buffer
		if err := book.Write(&out); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	got := v.sends(t, "night.xlsx", written())
	if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, ">"+cell+"<") || !strings.Contains(got.body, "900") {
		t.Fatalf("%s is not named: %d %s", cell, got.status, got.body)
	}
	if n := len(b.since(t, before)); n != 0 {
		t.Fatalf("%d entries of a refused sheet", n)
	}
	set("observations.heartRateBpm", 2, 150)
	text := written()
	got = v.sends(t, "night.xlsx", text)
	if got.status != http.StatusOK || !strings.Contains(got.body, "2 entries are kept") {
		t.Fatalf("%d %s", got.status, got.body)
	}
	if got := v.sends(t, "night.xlsx", text); got.status != http.StatusOK || !strings.Contains(got.body, "nothing is charted twice") {
		t.Errorf("%d %s", got.status, got.body)
	}
	if n := len(b.since(t, before)); n != 2 {
		t.Errorf("%d entries", n)
	}
}

// What is no sheet is refused, a signature in a file too, and what is too large unread.
func TestSheetsRefused(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, before := b.as(t, "clerk"), b.head(t)
	f := b.two(t)[0]
	signature := "id,kind,at,by,to,asOf,infants\r\n00000000-0000-4000-8000-00000000cccc,handover," + b.fern.clock.Now().
		Format(time.RFC3339) +
		",rn-agate,rn-birch," + b.fern.clock.Now().
		Format(time.RFC3339) +
		"," + f.Infant + "\r\n"
	for _, c := range []struct{ name, text, why string }{
		{"signed.csv", signature, ">B2<"},
		{"signed.csv", signature, "what is no signature"},
		{"night.pdf", "%PDF", "Send a workbook"},
		{"night.xlsx", "PK", "an .xlsx workbook"},
		{"empty.csv", "id,kind,at,by\r\n", "Nothing was filled in"},
	} {
		got := v.sends(t, c.name, []byte(c.text))
		if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, c.why) {
			t.Errorf("%s, %q: %d %s", c.name, c.why, got.status, got.body)
		}
	}
	if got := v.sends(t, "night.xlsx", make([]byte, 9<<20)); got.status != http.StatusRequestEntityTooLarge {
		t.Errorf("too large: %d", got.status)
	}
	if got := v.post(t, "/units/fern/sheet", url.Values{}); got.status != http.StatusUnprocessableEntity {
		t.Errorf("no file: %d", got.status)
	}
	if got := b.as(t, "keeper").sends(t, "night.csv", []byte(signature)); got.status != http.StatusNotFound {
		t.Errorf("a keeper: %d", got.status)
	}
	if n := len(b.since(t, before)); n != 0 {
		t.Errorf("%d entries", n)
	}
}
