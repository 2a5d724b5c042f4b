package cli

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"cotline/internal/access"
	"cotline/internal/store/sqlite"
	"cotline/internal/wardtest"
)

// Each command has its row in the table, and no row is of a command that is none; what it
// needs is a permission that there is.
func TestEveryCommandHasARow(t *testing.T) {
	p, _, _ := inProcess(t)
	rows := map[string]commandNeed{}
	for _, n := range needs {
		if _, twice := rows[n.command]; twice || n.does == "" {
			t.Errorf("%s: stands twice, or does not say what it does", n.command)
		}
		rows[n.command] = n
		known := slices.ContainsFunc(access.Grants, func(g access.Grant) bool { return g.Permission == n.needs })
		if n.needs != "" && !known {
			t.Errorf("%s needs %q, which is no permission", n.command, n.needs)
		}
		for _, kind := range n.traced {
			if !slices.Contains(access.EventKinds, kind) {
				t.Errorf("%s: %q is no kind of event", n.command, kind)
			}
		}
	}
	var walk func(*cobra.Command)
	walk = func(cmd *cobra.Command) {
		for _, sub := range cmd.Commands() {
			name := strings.TrimPrefix(sub.CommandPath(), "cotline ")
			if _, listed := rows[name]; !listed {
				t.Errorf("cotline %s has no row", name)
			}
			delete(rows, name)
			walk(sub)
		}
	}
	walk(p.root())
	for name := range rows {
		t.Errorf("cotline %s has a row and is no command", name)
	}
}

// traces is a record of the demo ward, with or without people, and how commands leave it.
type traces struct {
	dir, record string
	infant      string
}

func newTraces(t *testing.T, people bool) *traces {
	t.Helper()
	policy, entries := demoFiles(t)
	x := &traces{dir: t.TempDir(), infant: "in-01"}
	x.record = filepath.Join(x.dir, "ward.db")
	x.run(t, exitDone, "chart", "--policy", policy, entries)
	if people {
		x.run(t, exitDone, "people", "add", "--name", "dock", "--shown", "K. Dock", "--role", "keeper")
	}
	return x
}

func (x *traces) run(t *testing.T, want int, args ...string) (stderr string) {
	t.Helper()
	p, _, told := inProcess(t)
	n := 0
	p.NewID = func() string { n++; return "00000000-0000-4000-8000-0000000000" + string(rune('a'+n)) + "0" }
	p.Account = func() string { return `WARD\Zoë` }
	p.Env = func(name string) (string, bool) { return "no-such-browser", name == "COTLINE_BROWSER" }
	if code := p.Run(t.Context(), append(slices.Clone(args), "--record", x.record)); code != want {
		t.Fatalf("%v: exit %d, want %d\n%s", args, code, want, told)
	}
	return told.String()
}

// events are those of the trace, by the console, of infants.
func (x *traces) events(t *testing.T) (out []access.Event) {
	t.Helper()
	p, stdout, stderr := inProcess(t)
	if code := p.Run(t.Context(), []string{"trace", "--format", "json", "--record", x.record}); code != exitDone {
		t.Fatal(stderr)
	}
	for d := json.NewDecoder(stdout); d.More(); {
		var e access.Event
		if err := d.Decode(&e); err != nil {
			t.Fatal(err)
		}
		if e.Kind != access.People && e.Kind != access.Programs {
			out = append(out, e)
		}
	}
	return out
}

// given are commands that read or write what is kept of infants, and what is traced of each.
func (x *traces) given(t *testing.T) []struct {
	args   []string
	kind   access.EventKind
	what   string
	infant string
} {
	t.Helper()
	note := filepath.Join(x.dir, "note.ndjson")
	retract := filepath.Join(x.dir, "retract.ndjson")
	const id = "00000000-0000-4000-8000-000000000e01"
	at := wardtest.Moment(t, "2026-10-25T07:00:00+01:00").Format(time.RFC3339)
	for name, line := range map[string]string{
		note: `{"id":"` + id + `","infant":"` + x.infant + `","kind":"note","at":"` + at + `","by":"rn-1","text":"x"}`,
		retract: `{"id":"00000000-0000-4000-8000-000000000e02","infant":"` + x.infant + `","kind":"retraction","at":"` + at +
			`","by":"rn-1","of":"` + id + `","reason":"wrong"}`,
	} {
		if err := os.WriteFile(name, []byte(line+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	in := func(name string) string { return filepath.Join(x.dir, name) }
	return []struct {
		args   []string
		kind   access.EventKind
		what   string
		infant string
	}{
		{[]string{"handover"}, access.Read, "handover", ""},
		{[]string{"handover", "--infant", x.infant, "--format", "json"}, access.Read, "handover", x.infant},
		{[]string{"handover", "--format", "html", "-o", in("h.html")}, access.Printed, "handover", ""},
		{[]string{"workbook", "-o", in("w.xlsx")}, access.Exported, "workbook", ""},
		{[]string{"workbook", "--csv", in("csv")}, access.Exported, "tables", ""},
		{[]string{"bundle", "--whole", "-o", in("b.json")}, access.Exported, "bundle transaction", ""},
		{[]string{"ndjson", "-o", in("nd")}, access.Exported, "ndjson", ""},
		{[]string{"transfer", "--infant", x.infant, "-o", in("t.json")}, access.Exported, "transfer", x.infant},
		{[]string{"template", "--infants", "-o", in("f.xlsx")}, access.Exported, "template", ""},
		{[]string{"backup", "-o", in("backup.db")}, access.Exported, "backup, verified", ""},
		{[]string{"chart", note}, access.Charted, "chart", x.infant},
		{[]string{"chart", retract}, access.Corrected, "chart", x.infant},
	}
}

// Where people have accounts, what is read, printed, exported and charted at the console is
// traced, before it is given out, by the name of the system's account and by keys alone.
func TestConsoleIsTraced(t *testing.T) {
	t.Parallel()
	x := newTraces(t, true)
	for _, c := range x.given(t) {
		before := len(x.events(t))
		if told := x.run(t, exitDone, c.args...); strings.Contains(told, "not in the trace") {
			t.Errorf("%v: %s", c.args, told)
		}
		all := x.events(t)[before:]
		if len(all) != 1 {
			t.Errorf("%v: %d events", c.args, len(all))
			continue
		}
		e := all[0]
		if e.Kind != c.kind || e.What != c.what || e.Who != "console" || e.Detail != "account WARD_Zo_" || e.Whole != (c.infant == "") ||
			strings.Join(e.Infants, " ") != c.infant {
			t.Errorf("%v: %+v", c.args, e)
		}
	}
}

// A record in which nobody has an account is the same to the byte after it was read, and so
// are the files beside it.
func TestReadingChangesNothing(t *testing.T) {
	t.Parallel()
	x := newTraces(t, false)
	sum := func() (out []string) {
		for _, name := range append([]string{x.record}, sqlite.Beside(x.record)...) {
			text, err := os.ReadFile(name)
			if err != nil && !os.IsNotExist(err) {
				t.Fatal(err)
			}
			h := sha256.Sum256(text)
			out = append(out, string(h[:]))
		}
		return out
	}
	before := sum()
	for _, c := range x.given(t) {
		if c.args[0] == "chart" {
			continue
		}
		if x.run(t, exitDone, c.args...); !slices.Equal(sum(), before) {
			t.Errorf("%v changed the record", c.args)
		}
	}
	if got := x.events(t); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// What is damaged is read as before, under its warning, and nothing is written into it.
func TestDamagedRecordIsNotTraced(t *testing.T) {
	x := newTraces(t, true)
	before := len(x.events(t))
	p, out, _ := inProcess(t)
	db, err := sql.Open("sqlite", "file:"+x.record)
	if err != nil {
		t.Fatal(err)
	}
	for _, change := range []string{"DROP TRIGGER journal_stands",
		"UPDATE journal SET text = text || ' ' WHERE position = 2"} {
		if _, err := db.ExecContext(t.Context(), change); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(x.record)
	if err != nil {
		t.Fatal(err)
	}
	code := p.Run(t.Context(), []string{"handover", "--record", x.record})
	if code != exitRefused || !strings.Contains(out.String(), "Fern") {
		t.Errorf("exit %d\n%.300s", code, out)
	}
	if after, err := os.ReadFile(x.record); err != nil || !bytes.Equal(text, after) {
		t.Errorf("the record was changed, %v", err)
	}
	if got := len(x.events(t)); got != before {
		t.Errorf("%d events", got-before)
	}
}

// A record that another program holds is read all the same, and that it is not traced is said.
func TestHeldRecordIsRead(t *testing.T) {
	t.Parallel()
	x := newTraces(t, true)
	db, err := sql.Open("sqlite", "file:"+x.record)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close() // its transaction writes nothing
	held, err := db.Conn(t.Context())
	if err == nil {
		_, err = held.ExecContext(t.Context(), "BEGIN IMMEDIATE")
	}
	if err != nil {
		t.Fatal(err)
	}
	from := time.Now()
	if told := x.run(t, exitDone, "handover", "-o", filepath.Join(x.dir, "h.txt")); !strings.Contains(told, "this is not in the trace") {
		t.Errorf("%s", told)
	}
	if took := time.Since(from); took > noteFor+5*time.Second {
		t.Errorf("it took %s", took)
	}
	if _, err := held.ExecContext(t.Context(), "ROLLBACK"); err != nil {
		t.Error(err)
	}
}

// A fault of the program in tracing stops no reading, and is said as any other.
func TestFaultInTracing(t *testing.T) {
	x := newTraces(t, true)
	p, _, told := inProcess(t)
	p.Now = func() time.Time { panic("a fault") }
	s := &settings{program: p, record: x.record}
	if s.noted(t.Context(), access.Read, "handover", nil); !strings.Contains(told.String(), "this is not in the trace") {
		t.Errorf("%s", told)
	}
}
