//go:build outside

package web

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/journal"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// A whole shift is charted by pages alone, by two nurses in a real browser. Then handover,
// bundle and workbook are those of the same entries charted by the command line into a
// fresh record.
func TestShiftByPages(t *testing.T) {
	start := wardtest.Moment(t, "2026-10-12T19:50:00+02:00")
	r := newRecord(t, wardtest.Policy(t, ward.Policy()), start)
	r.chart(t) // its policy, in force
	b := newServer(t, func(c *Config) { c.Units, c.Now = map[string]*journal.Journal{"fern": r.Journal}, r.clock.Now })
	b.access.Now = r.clock.Now
	for _, name := range []string{"rn-agate", "rn-birch"} {
		accesstest.Add(t, b.access, "fern", name, access.Nurse)
	}
	clock := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		minutes, _ := strconv.Atoi(q.URL.Query().Get("minutes"))
		r.clock.set(r.clock.Now().Add(time.Duration(minutes) * time.Minute))
		stands := r.clock.Now().In(r.policy.Zone).Format("15:04")
		json.NewEncoder(w).Encode(map[string]any{"clock": stands, "steps": r.policy.Setup}) // to a test
	}))
	defer clock.Close()
	b.drive(t, "shift.mjs", map[string]any{"out": "rn-agate", "in": "rn-birch", "unit": "/units/fern", "clock": clock.URL,
		"day": start.Format(time.DateOnly)})
	held, err := r.Read(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	took := kindsOf(held.Entries)
	for _, kind := range strings.Fields("admission circuit setup humidifier calibration seal support settings interface skin safety " +
		"tube head weight bonnet correction observations alarm retraction outlook handover acceptance") {
		if !slices.Contains(took, kind) {
			t.Errorf("no %s was charted: %v", kind, took)
		}
	}
	if t.Failed() {
		return
	}

	var admitted []string
	for _, e := range held.Entries {
		if e.Kind == "admission" {
			admitted = append(admitted, e.Infant)
		}
	}
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	write(t, file("policy.yaml"), ward.Policy())
	write(t, file("entries.ndjson"), linesOf(t, held))
	program := file("cotline")
	if said, err := exec.Command("go", "build", "-ldflags=-s -w", "-o", program, "cotline/cmd/cotline").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	run := func(args ...string) []byte {
		t.Helper()
		cmd := exec.Command(program, args...)
		var said bytes.Buffer
		cmd.Stderr = &said
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("%v: %v\n%s", args, err, said.String())
		}
		return out
	}
	run("chart", "--record", file("fresh.db"), "--policy", file("policy.yaml"), file("entries.ndjson"))
	at := r.clock.Now().Add(10 * time.Minute).In(r.policy.Zone).Format(time.RFC3339)
	chains := map[string]string{}
	for _, record := range []string{r.path, file("fresh.db")} {
		text := run("handover", "--format", "json", "--record", record, "--at", at, "--known", at)
		chains[record] = string(chainOf.FindSubmatch(text)[1])
	}
	for name, args := range map[string][]string{
		"handover in words": {"handover", "--format", "text", "--full"}, "handover as JSON": {"handover", "--format", "json"},
		"bundle":          {"bundle", "--whole"},
		"first document":  {"bundle", "--type", "document", "--infant", admitted[0]},
		"second document": {"bundle", "--type", "document", "--infant", admitted[1]},
	} {
		of := func(record string) string {
			return withoutChain(run(append(args, "--record", record, "--at", at, "--known", at)...), chains[record])
		}
		pages, lines := of(r.path), of(file("fresh.db"))
		if pages != lines {
			t.Errorf("%s: by pages (-), by the command line (+):\n%s", name, cmp.Diff(pages, lines))
		}
		if len(pages) < 500 {
			t.Errorf("%s: %s", name, pages)
		}
	}
	for _, record := range []string{r.path, file("fresh.db")} {
		run("workbook", "--csv", file("csv-"+filepath.Base(record)), "--record", record, "--at", at, "--known", at)
	}
	tables, err := os.ReadDir(file("csv-fresh.db"))
	if err != nil || len(tables) < 10 {
		t.Fatalf("%d tables, %v", len(tables), err)
	}
	for _, table := range tables {
		pages := withoutChain(fileOf(t, file("csv-record.db/"+table.Name())), chains[r.path])
		lines := withoutChain(fileOf(t, file("csv-fresh.db/"+table.Name())), chains[file("fresh.db")])
		if pages != lines {
			t.Errorf("%s: by pages (-), by the command line (+):\n%s", table.Name(), cmp.Diff(pages, lines))
		}
	}
	r.clock.set(wardtest.Moment(t, at))
	r.Engine = strings.TrimPrefix(strings.TrimSpace(string(run("--version"))), "cotline version ")
	run("workbook", "-o", file("fresh.xlsx"), "--record", file("fresh.db"), "--at", at, "--known", at)
	got := b.as(t, "clerk").post(t, "/units/fern/tables/export", url.Values{"what": {"workbook"}})
	pages := cellsOf(t, []byte(got.body), chains[r.path])
	lines := cellsOf(t, fileOf(t, file("fresh.xlsx")), chains[file("fresh.db")])
	if diff := cmp.Diff(pages, lines); diff != "" || len(pages) < 1000 {
		t.Errorf("workbook of %d cells: downloaded from a page (-), by the command line (+):\n%s", len(pages), diff)
	}
}

// cellsOf are the cells of a workbook as another program reads them, by sheet and name: what
// is kept and what is shown.
func cellsOf(t testing.TB, book []byte, chain string) map[string]string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(book))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close() // it was read
	out := map[string]string{}
	for _, sheet := range f.GetSheetList() {
		for _, raw := range []bool{true, false} {
			rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: raw})
			if err != nil {
				t.Fatal(err)
			}
			for y, row := range rows {
				for x, value := range row {
					name, err := excelize.CoordinatesToCellName(x+1, y+1)
					if err != nil {
						t.Fatal(err)
					}
					out[sheet+"!"+name] += withoutChain([]byte(value), chain) + "|"
				}
			}
		}
	}
	return out
}

func write(t testing.TB, name string, text []byte) {
	t.Helper()
	if err := os.WriteFile(name, text, 0o644); err != nil {
		t.Fatal(err)
	}
}

// linesOf are a record's entries as NDJSON, in the order they were taken, each with the
// moment it was charted.
func linesOf(t testing.TB, held journal.Reading) []byte {
	t.Helper()
	places := map[string]int64{}
	for n, e := range held.Entries {
		places[e.ID] = held.Positions[n]
	}
	all := slices.SortedFunc(slices.Values(held.Entries), func(a, b *entry.Entry) int { return int(places[a.ID] - places[b.ID]) })
	var out bytes.Buffer
	for _, e := range all {
		var fields map[string]json.RawMessage
		if err := json.Unmarshal(e.AppendCanonical(nil), &fields); err != nil {
			t.Fatal(err)
		}
		fields["charted"] = strconv.AppendQuote(nil, e.Charted.Format(time.RFC3339))
		line, err := json.Marshal(fields)
		if err != nil {
			t.Fatal(err)
		}
		out.Write(append(line, '\n'))
	}
	return out.Bytes()
}

var chainOf = regexp.MustCompile(`"chain":\s*"([0-9a-f]{64})"`)

// withoutChain leaves out the record's own hash, which also holds by which bytes an entry
// was offered: with the moment it was charted, or without.
func withoutChain(text []byte, chain string) string {
	return strings.NewReplacer(chain, "chain", chain[:12], "chain").Replace(string(text))
}
