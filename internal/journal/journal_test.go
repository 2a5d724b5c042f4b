package journal_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

var ctx = context.Background()

// noon is the clock of these tests; every reading of it is a second later.
var noon = time.Date(2026, 10, 24, 12, 0, 0, 0, time.UTC)

func clock() func() time.Time {
	t := noon
	return func() time.Time { t = t.Add(time.Second); return t }
}

// sees is a handover in little: what a compilation was given.
func sees(w handover.Ward, at, known time.Time, head journal.Head) []byte {
	entries := map[string]int64{}
	for i, e := range w.Entries {
		if !e.Charted.After(known) && !e.At.After(at) {
			entries[e.ID] = w.Positions[i]
		}
	}
	text, err := json.Marshal(map[string]any{
		"at": at, "known": known, "policy": w.Policy.Hash(), "position": head.Position, "chain": head.Chain.String(),
		"entries": entries, "signed": w.Signed,
	})
	if err != nil {
		panic(err)
	}
	return append(text, '\n')
}

type bench struct {
	*journal.Journal
	path   string
	policy *handover.Policy
}

func newBench(t testing.TB) *bench {
	t.Helper()
	return benchAt(t, filepath.Join(t.TempDir(), "record.db"))
}

func benchAt(t testing.TB, path string) *bench {
	t.Helper()
	s, err := sqlite.Open(ctx, path, true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return &bench{
		Journal: &journal.Journal{Store: s, Unit: "moonwort", Now: clock(), Engine: "1", Compile: sees},
		path:    path, policy: policy(t, `{}`),
	}
}

func policy(t testing.TB, text string) *handover.Policy {
	t.Helper()
	v, issues := entry.ParseJSON([]byte(text))
	p, more := handover.DecodePolicy(v, time.LoadLocation)
	if issues = append(issues, more...); len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

func id(n int) string { return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }

// entry is an entry at a time of the clock in these tests, the unit's where
// infant is empty.
func entryOf(t testing.TB, n int, infant, kind, at, own string) *entry.Entry {
	t.Helper()
	text := `{"id":"` + id(n) + `","kind":"` + kind + `","at":"2026-10-24T` + at + `:00Z","by":"rn-agate"`
	if infant != "" {
		text += `,"infant":"` + infant + `"`
	}
	if own != "" {
		text += "," + own
	}
	v, issues := entry.ParseJSON([]byte(text + "}"))
	e, more := entry.Decode(v)
	if issues = append(issues, more...); len(issues) > 0 {
		t.Fatal(text, issues)
	}
	return &e
}

func note(t testing.TB, n int, text string) *entry.Entry {
	return entryOf(t, n, "", "note", "11:00", `"text":"`+text+`"`)
}

func admission(t testing.TB, n int, infant string) *entry.Entry {
	return entryOf(t, n, infant, "admission", "08:00", `"born":"2026-10-23","cot":"7","mrn":"1"`)
}

func signing(t testing.TB, n int, asOf string) *entry.Entry {
	return signingFor(t, n, asOf, "a")
}

func signingFor(t testing.TB, n int, asOf, infant string) *entry.Entry {
	return entryOf(t, n, "", "handover", asOf, `"to":"rn-birch","asOf":"2026-10-24T`+asOf+`:00Z","infants":["`+infant+`"]`)
}

func (b *bench) chart(t testing.TB, entries ...*entry.Entry) journal.Receipt {
	t.Helper()
	r, err := b.Append(ctx, b.policy, journal.Offer(entries))
	var refused *journal.Refused
	if errors.As(err, &refused) {
		t.Fatal(refused.Issues)
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (b *bench) read(t testing.TB) journal.Reading {
	t.Helper()
	r, err := b.Read(ctx)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (b *bench) sound(t testing.TB) journal.Report {
	t.Helper()
	r, err := b.Verify(ctx)
	if err != nil || len(r.Findings) > 0 {
		t.Fatalf("%v %v", err, r.Findings)
	}
	return r
}

// packed is text as the store packs it, in hex.
func packed(text string) string {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	w.Write([]byte(text)) // in memory
	w.Close()             // in memory
	return hex.EncodeToString(b.Bytes())
}

// damage changes the file behind the journal's back.
func (b *bench) damage(t testing.TB, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+b.path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, trigger := range []string{"journal_follows", "journal_stands", "journal_stays", "policy_stands", "policy_stays",
		"signed_stands", "signed_stays",
		"in_force_stands", "in_force_stays"} {
		var guard string
		if err := db.QueryRow("SELECT sql FROM sqlite_schema WHERE name = ?", trigger).Scan(&guard); err != nil {
			t.Fatal(err)
		}
		statements = append(append([]string{"DROP TRIGGER " + trigger}, statements...), guard)
	}
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(s, err)
		}
	}
}

// The chain is what the package comment says, computed here by hand.
func TestChain(t *testing.T) {
	b := newBench(t)
	r := b.chart(t, note(t, 1, "one"), note(t, 2, "two"))
	var chain [32]byte
	for _, text := range []string{
		`{"id":"00000000-0000-4000-8000-000000000001","kind":"note","at":"2026-10-24T11:00:00Z","by":"rn-agate","text":"one"}`,
		`{"id":"00000000-0000-4000-8000-000000000002","kind":"note","at":"2026-10-24T11:00:00Z","by":"rn-agate","text":"two"}`,
	} {
		of := sha256.Sum256([]byte(text))
		chain = sha256.Sum256(slices.Concat(chain[:], of[:]))
	}
	if got, want := r.Head.Chain.String(), hex.EncodeToString(chain[:]); got != want || r.Head.Position != 2 {
		t.Errorf("position %d, chain %s, want %s", r.Head.Position, got, want)
	}
}

func TestAppendAndRead(t *testing.T) {
	b := newBench(t)
	first := b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210.0,"charted":"2026-10-24T09:05:00Z"`))
	if first.Taken != 2 || first.Held != 0 || first.Head.Position != 2 {
		t.Errorf("%+v", first)
	}
	again := b.chart(t, admission(t, 1, "a"), note(t, 3, "x"))
	if again.Taken != 1 || again.Held != 1 || again.Head.Position != 3 {
		t.Errorf("%+v", again)
	}
	idle := b.chart(t, admission(t, 1, "a"))
	if idle.Taken != 0 || idle.Held != 1 || idle.Head != again.Head {
		t.Errorf("%+v", idle)
	}
	r := b.read(t)
	var got []string
	for i, e := range r.Entries {
		got = append(got, fmt.Sprintf("%d %s %s %v", r.Positions[i], e.Kind, e.Charted.Text, e.Offered))
	}
	want := []string{ // stamped in the unit's zone, Dublin's summer time
		"1 admission 2026-10-24T13:00:01+01:00 false",
		"2 weight 2026-10-24T09:05:00Z true",
		"3 note 2026-10-24T13:00:02+01:00 false",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if r.Head != again.Head || len(r.Findings) > 0 {
		t.Errorf("head %v, findings %v", r.Head, r.Findings)
	}
}

// One refused entry leaves nothing of the file, nor of its policy.
func TestRefusedKeepsNothing(t *testing.T) {
	b := newBench(t)
	bad := entryOf(t, 3, "b", "weight", "09:00", `"weightG":1210`)
	bad.Line = 3
	_, err := b.Append(ctx, b.policy, journal.Offer([]*entry.Entry{admission(t, 1, "a"), note(t, 2, "x"), bad}))
	var refused *journal.Refused
	if !errors.As(err, &refused) || len(refused.Issues) != 1 || refused.Issues[0].Line != 3 ||
		refused.Issues[0].Code != entry.CodeNotAdmitted {
		t.Fatalf("got %v", err)
	}
	if r := b.read(t); r.Head.Position != 0 {
		t.Errorf("%d rows", r.Head.Position)
	}
	b.Store.Read(ctx, b.Unit, func(v journal.View) error {
		if hashes, err := v.Policies(); len(hashes) > 0 || err != nil {
			t.Error("its policy was kept", err)
		}
		return nil
	})
}

// What an entry is judged by is what is held when it is taken.
func TestOfferFromWhatIsHeld(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"))
	r, err := b.Append(ctx, b.policy, func(held *journal.Held) ([]*entry.Entry, error) {
		if n := len(held.Infant("a")); n != 1 || held.Entry(id(1)) == nil || held.Entry(id(2)) != nil || len(held.Keys()) != 1 {
			t.Errorf("%d entries held", n)
		}
		return []*entry.Entry{note(t, 2, "x")}, nil
	})
	if err != nil || r.Taken != 1 {
		t.Error(r, err)
	}
	wrong := errors.New("no")
	if _, err := b.Append(ctx, b.policy, func(*journal.Held) ([]*entry.Entry, error) { return nil, wrong }); !errors.Is(err, wrong) {
		t.Error(err)
	}
}

func TestSigned(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"))
	r := b.chart(t, signing(t, 2, "11:30"), note(t, 3, "came with it"))
	b.policy = policy(t, `{"unit":"another"}`)
	b.chart(t, note(t, 4, "came later"))
	b.chart(t, signing(t, 5, "11:40"))
	if len(r.Signed) != 1 {
		t.Fatal(r.Signed)
	}
	s, found, err := b.Signed(ctx, id(2))
	if !found || err != nil {
		t.Fatal(found, err)
	}
	if diff := cmp.Diff(r.Signed[0], s); diff != "" {
		t.Error(diff)
	}
	// Cut at the end of the file that brought it: the order of lines is nothing.
	if s.Position != 3 || s.Chain != r.Head.Chain || s.Engine != "1" || s.Policy != policy(t, `{}`).Hash() {
		t.Errorf("%+v", s)
	}
	sum := sha256.Sum256(s.JSON)
	if s.Digest != hex.EncodeToString(sum[:]) {
		t.Error("the digest is not that of the bytes")
	}
	var saw struct {
		At, Known time.Time
		Position  int64
		Entries   map[string]int64
		Signed    map[string]int64
	}
	if err := json.Unmarshal(s.JSON, &saw); err != nil {
		t.Fatal(err)
	}
	if !saw.At.Equal(noon.Add(-30*time.Minute)) || !saw.Known.Equal(noon.Add(2*time.Second)) || saw.Position != 3 {
		t.Errorf("%+v", saw)
	}
	if diff := cmp.Diff(map[string]int64{id(1): 1, id(2): 2, id(3): 3}, saw.Entries); diff != "" {
		t.Error(diff)
	}
	if report := b.sound(t); report.Signed != 2 || report.Entries != 5 {
		t.Errorf("%+v", report)
	}
	if _, found, err := b.Signed(ctx, id(3)); found || err != nil {
		t.Error("a note was signed", err)
	}
	if diff := cmp.Diff(map[string]int64{id(2): 3, id(5): 5}, b.read(t).Signed); diff != "" {
		t.Error(diff)
	}
}

func TestVerifyFinds(t *testing.T) {
	other := strings.Repeat("0", 64)
	for name, c := range map[string]struct {
		damage []string
		want   []string // position and a part of what is said
	}{
		"nothing": {nil, nil},
		"text": {[]string{`UPDATE journal SET text = replace(text, '1210', '1120') WHERE position = 2`},
			[]string{"2: the chain does not hold"}},
		"no text": {[]string{`UPDATE journal SET text = '' WHERE position = 2`},
			[]string{"2: the chain does not hold", "2: its text is no JSON", "4: handover"}},
		"link": {[]string{`UPDATE journal SET chain = zeroblob(32) WHERE position = 2`},
			[]string{"2: the chain does not hold", "3: the chain does not hold"}},
		"last link": {[]string{`UPDATE journal SET chain = zeroblob(32) WHERE position = 5`},
			[]string{"0: entries that were taken are gone: the record ends at position 5, and what it holds",
				"5: the chain does not hold"}},
		"row taken out": {[]string{`DELETE FROM journal WHERE position = 2`}, []string{"2: the row is missing", "4: handover"}},
		"rows swapped": {[]string{`UPDATE journal SET position = 99 WHERE position = 2`,
			`UPDATE journal SET position = 2 WHERE position = 3`, `UPDATE journal SET position = 3 WHERE position = 99`},
			[]string{"2: the chain does not hold", "3: the chain does not hold", "4: the chain does not hold", "4: handover"}},
		"key beside": {[]string{`UPDATE journal SET infant = 'b' WHERE position = 2`}, []string{"2: id, infant or kind"}},
		"accepted": {[]string{`UPDATE journal SET accepted = 'today' WHERE position = 1`},
			[]string{"1: its moment of acceptance", "4: handover"}},
		"accepted, later": {[]string{`UPDATE journal SET accepted = '2026-10-24T15:00:00Z' WHERE position = 1`},
			[]string{"1: the row is not what was kept", "4: handover " + id(4) +
				", signed here, does not come out the same: it differs at entries." + id(1)}},
		"end cut off": {[]string{`PRAGMA foreign_keys = 0`, `DELETE FROM journal WHERE position > 2`},
			[]string{"0: entries that were taken are gone", "3: the rows from here to position 5 are missing", "4: handover " + id(4) +
				", signed here, does not come out the same: its entry is not in the record"}},
		"end after signing": {[]string{`DELETE FROM journal WHERE position = 5`},
			[]string{"0: entries that were taken are gone: the record ends at position 4, and entries up to position 5 were taken",
				"5: the rows from here to position 5 are missing"}},
		"bytes": {[]string{`UPDATE signed SET json = x'7b7d'`},
			[]string{"4: handover " + id(4) + ", signed here, does not come out the same: the bytes that were kept"}},
		// '{}' packed, under its own digest: only compiling again tells.
		"bytes and digest": {[]string{`UPDATE signed SET json = x'` + packed("{}") +
			`', digest = '44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a'`},
			[]string{"0: what a handover was signed on is not", "4: handover " + id(4) +
				", signed here, does not come out the same: it differs at at"}},
		"signed chain": {[]string{`UPDATE signed SET chain = zeroblob(32)`},
			[]string{"0: what a handover was signed on is not", "4: handover " + id(4) +
				", signed here, does not come out the same: the record up to there"}},
		"signed gone": {[]string{`DELETE FROM signed`},
			[]string{"0: of 1 signed handovers, what 0 were signed on is found", "4: what handover " + id(4) + " was signed on is gone"}},
		"cut elsewhere": {[]string{`UPDATE signed SET position = 3`},
			[]string{"0: what a handover was signed on is not", "3: handover " + id(4) +
				", signed here, does not come out the same: its entry is not in the record"}},
		"node": {[]string{`UPDATE node SET body = zeroblob(57)`},
			[]string{"0: the index, by which entries are found, is damaged: node 1"}},
		"node gone": {[]string{`DELETE FROM node`}, []string{"0: the index, by which entries are found, is damaged: node 1"}},
		"list": {[]string{`UPDATE link SET position = 1 WHERE position = 2`},
			[]string{"0: the index, by which entries are found, is damaged: link"}},
		"list gone": {[]string{`DELETE FROM link WHERE stream = 'care/a'`},
			[]string{"0: the index, by which entries are found, is damaged: 1 links"}},
		"top":      {[]string{`UPDATE top SET body = zeroblob(length(body))`}, []string{"0: what tells where the record ends"}},
		"top gone": {[]string{`DELETE FROM top`}, []string{"0: what tells where the record ends"}},
		"guard gone": {[]string{`CREATE TABLE aside (a)`, `DROP TABLE aside`, `DROP TABLE link`,
			`CREATE TABLE link (unit, stream, n, position)`}, []string{"0: table link is not what was made", "0: the index"}},
		"policy": {[]string{`UPDATE policy SET text = replace(text, 'Alder', 'Older')`},
			[]string{"0: the policy kept under", "4: handover"}},
		"in force": {[]string{`UPDATE in_force SET accepted = '2026-10-24T15:00:00Z'`},
			[]string{"0: which policies were in force is not what was kept"}},
		"in force gone": {[]string{`DELETE FROM in_force`}, []string{"0: which policies were in force is not what was kept"}},
		"policy gone": {[]string{`PRAGMA foreign_keys = 0`, `DELETE FROM policy`},
			[]string{"1: the policy in force from here on is gone", "4: handover " + id(4) +
				", signed here, does not come out the same: the policy it was signed under is gone"}},
		"policy renamed": {[]string{`PRAGMA foreign_keys = 0`, `UPDATE policy SET hash = '` + other + `'`},
			[]string{"1: the policy in force from here on is gone", "0: the policy kept under", "4: handover"}},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210`), note(t, 3, "x"))
			b.chart(t, signing(t, 4, "11:30"))
			b.chart(t, note(t, 5, "y"))
			b.damage(t, c.damage...)
			report, err := b.Verify(ctx)
			if err != nil {
				t.Fatal(err)
			}
			if len(report.Findings) != len(c.want) {
				t.Fatalf("found %q, want %q", report.Findings, c.want)
			}
			for i, f := range report.Findings {
				if got := fmt.Sprintf("%d: %s", f.Position, f.What); !strings.HasPrefix(got, c.want[i]) {
					t.Errorf("found %q, want %q", got, c.want[i])
				}
			}
			if strings.HasPrefix(strings.Join(c.want, ""), "0: entries that were taken are gone") {
				if _, err := b.Read(ctx); !errors.Is(err, journal.ErrBehind) {
					t.Errorf("a reading says %v", err)
				}
				return
			}
			// A reading says the same of the rows, and gives what can be read.
			if r := b.read(t); (len(r.Findings) > 0) != slices.ContainsFunc(report.Findings, func(f journal.Finding) bool {
				return !strings.Contains(f.What, "signed here") && !strings.Contains(f.What, "index") && !strings.Contains(f.What, "table")
			}) {
				t.Errorf("a reading finds %q", r.Findings)
			}
		})
	}
}

// Another version of the engine may say another thing; the bytes signed stand.
func TestVerifyAnotherEngine(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"), signing(t, 2, "11:30"))
	signed, _, _ := b.Signed(ctx, id(2))
	b.Engine, b.Compile = "2", func(w handover.Ward, at, known time.Time, head journal.Head) []byte {
		return []byte(strings.Replace(string(sees(w, at, known, head)), `"chain"`, `"link"`, 1))
	}
	report := b.sound(t)
	want := []string{"handover " + id(2) + " was compiled by version 1 of the engine, this is 2: it differs at chain"}
	if diff := cmp.Diff(want, report.Remarks); diff != "" || report.Signed != 0 {
		t.Error(report.Signed, diff)
	}
	if again, _, _ := b.Signed(ctx, id(2)); string(again.JSON) != string(signed.JSON) {
		t.Error("the bytes changed")
	}
}

func TestTruncatedFile(t *testing.T) {
	b := newBench(t)
	for i := range 40 {
		b.chart(t, note(t, i, strings.Repeat("x", 3000)))
	}
	if err := b.Store.Close(); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(b.path)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []int64{2, 3, 10} {
		cut := filepath.Join(t.TempDir(), "cut.db")
		whole, err := os.ReadFile(b.path)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(cut, whole[:info.Size()-info.Size()/part], 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := sqlite.Open(ctx, cut, false)
		if err != nil {
			if !errors.Is(err, journal.ErrDamaged) {
				t.Errorf("1/%d gone: %v", part, err)
			}
			continue
		}
		j := *b.Journal
		j.Store = s
		report, err := j.Verify(ctx)
		if err != nil || len(report.Findings) == 0 {
			t.Errorf("1/%d gone: %v, %+v", part, err, report)
		}
		s.Close()
	}
}
