package journal_test

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// under charts with a policy.
func (b *bench) under(t testing.TB, text string, entries ...*entry.Entry) journal.Receipt {
	t.Helper()
	b.policy = policy(t, text)
	return b.chart(t, entries...)
}

// history is what was put in force, as position and unit.
func (b *bench) history(t testing.TB) (out []string) {
	t.Helper()
	p, err := b.Policies(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.InForce {
		out = append(out, fmt.Sprint(f.From, " ", f.Policy[:6]))
	}
	return out
}

func unitOf(p journal.Policies) string {
	if p.Now == nil {
		return fmt.Sprint(p.Err)
	}
	return p.Now.Unit
}

// A policy is put in force with what is taken under it, once, and again when it comes
// back; what was signed stays under its own.
func TestPolicyInForce(t *testing.T) {
	b := newBench(t)
	const first, second = `{"unit":"Sedge"}`, `{"unit":"Rush"}`
	a, z := policy(t, first).Hash()[:6], policy(t, second).Hash()[:6]
	if p, err := b.Policies(ctx); err != nil || p.Now != nil || !errors.As(p.Err, new(*journal.NoPolicy)) {
		t.Errorf("a new journal: %+v, %v", p, err)
	}
	if r := b.under(t, first, admission(t, 1, "a")); r.Put == nil || r.Before != nil {
		t.Errorf("%+v", r)
	}
	if r := b.under(t, first, signing(t, 2, "11:00")); r.Put != nil {
		t.Error("put in force twice")
	}
	if r := b.under(t, second, note(t, 3, "x")); r.Put.Unit != "Rush" || r.Before.Unit != "Sedge" {
		t.Errorf("%+v", r)
	}
	b.under(t, first, admission(t, 1, "a")) // held already
	b.under(t, second)                      // and nothing at all
	r := b.under(t, first, signing(t, 5, "11:30"))
	want := []string{"1 " + a, "3 " + z, "4 " + a, "4 " + z, "4 " + a}
	if got := b.history(t); !slices.Equal(got, want) || r.Taken != 1 {
		t.Errorf("%v, want %v", got, want)
	}
	if report := b.sound(t); report.Signed != 2 {
		t.Errorf("%+v", report)
	}
	read := b.read(t)
	part, err := b.ReadAbout(ctx, journal.About{Infants: []string{"a"}, At: noon, Known: noon}, nil)
	if err != nil || unitOf(read.Policies) != "Sedge" || unitOf(part.Policies) != "Sedge" {
		t.Errorf("%v, %+v, %+v", err, read.Policies, part)
	}
	fresh, restored := restored(t, b)
	if got := fresh.history(t); !slices.Equal(got, want) || len(restored.Findings) > 0 {
		t.Errorf("restored: %v, %v", got, restored.Findings)
	}
	if report := fresh.sound(t); report.Signed != 2 {
		t.Errorf("restored: %+v", report)
	}
}

// What is refused puts no policy in force.
func TestRefusedPutsNoPolicy(t *testing.T) {
	b := newBench(t)
	b.under(t, `{"unit":"Sedge"}`, admission(t, 1, "a"))
	was := b.history(t)
	_, err := b.Append(ctx, policy(t, `{"unit":"Rush"}`),
		journal.Offer([]*entry.Entry{entryOf(t, 2, "z", "weight", "09:00", `"weightG":1210`)}))
	if !errors.As(err, new(*journal.Refused)) || !slices.Equal(was, b.history(t)) {
		t.Error(err, b.history(t))
	}
}

// A policy that cannot be had is never replaced by another: a reading says so and has
// none, and nothing is charted.
func TestPolicyInForceDamaged(t *testing.T) {
	for name, damage := range map[string]string{
		"text":      `UPDATE policy SET text = replace(text, 'Rush', 'Rash')`,
		"hash":      `UPDATE in_force SET policy = (SELECT policy FROM in_force WHERE n = 1)`,
		"last gone": `DELETE FROM in_force WHERE n = 2`,
		"all gone":  `DELETE FROM in_force`,
		"position":  `UPDATE in_force SET position = 1`,
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.under(t, `{"unit":"Sedge"}`, admission(t, 1, "a"))
			b.under(t, `{"unit":"Rush"}`, note(t, 2, "x"))
			b.damage(t, damage)
			r := b.read(t)
			part, err := b.ReadAbout(ctx, journal.About{Infants: []string{"a"}, At: noon, Known: noon}, b.policy)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range []journal.Reading{r, part} {
				if r.Policies.Now != nil || !errors.Is(r.Policies.Err, journal.ErrDamaged) || len(r.Findings) != 1 {
					t.Errorf("%+v", r)
				}
			}
			if _, err := b.Append(ctx, b.policy, journal.Offer([]*entry.Entry{note(t, 3, "y")})); !errors.Is(err, journal.ErrDamaged) {
				t.Error(err)
			}
			fresh, restored := restored(t, b)
			p, err := fresh.Policies(ctx)
			if err != nil || p.Now != nil || !errors.As(p.Err, new(*journal.NoPolicy)) || len(restored.Findings) != 1 {
				t.Errorf("restored: %+v, %v, %v", p, restored.Findings, err)
			}
			fresh.sound(t)
			fresh.under(t, `{"unit":"Rush"}`)
			if p, err := fresh.Policies(ctx); err != nil || unitOf(p) != "Rush" {
				t.Error(p, err)
			}
			fresh.sound(t)
		})
	}
}

// A record of before kept its policies and not which is in force: the only one is, all
// along; of several none is, until one is put.
func TestPolicyOfOlderRecord(t *testing.T) {
	for name, before := range map[string]func(*testing.T, *bench) *bench{"rows": older, "index": olderIndex} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.under(t, `{"unit":"Sedge"}`, admission(t, 1, "a"))
			b.under(t, `{"unit":"Sedge"}`, signing(t, 2, "11:00"))
			b = before(t, b)
			b.sound(t)
			if r := b.read(t); unitOf(r.Policies) != "Sedge" || len(r.Findings) > 0 {
				t.Errorf("%+v", r)
			}
			fresh, _ := restored(t, b)
			if p, _ := fresh.Policies(ctx); unitOf(p) != "Sedge" {
				t.Error("restored: ", unitOf(p))
			}
			if r := b.under(t, `{"unit":"Sedge"}`, note(t, 3, "x")); r.Put != nil {
				t.Error("put in force anew")
			}
			if r := b.under(t, `{"unit":"Rush"}`, note(t, 4, "x")); unitOf(journal.Policies{Now: r.Before}) != "Sedge" {
				t.Errorf("%+v", r)
			}
			if got := b.history(t); len(got) != 2 || got[0][:2] != "1 " || got[1][:2] != "4 " {
				t.Error(got)
			}
			b.sound(t)

			b = before(t, b) // with two
			if r := b.read(t); r.Policies.Now != nil || !strings.Contains(fmt.Sprint(r.Policies.Err), "has 2") || len(r.Findings) > 0 {
				t.Errorf("%+v", r)
			}
			b.under(t, `{"unit":"Sedge"}`)
			if got := b.history(t); len(got) != 1 || got[0][:2] != "5 " {
				t.Error(got)
			}
			b.sound(t)
		})
	}
}

// olderIndex makes of a record one as the version before policies were in force left it.
func olderIndex(t *testing.T, b *bench) *bench {
	t.Helper()
	return olderTop(t, b, 1, 8+32+8, "DROP TABLE in_force", "DROP TABLE access_item", "DROP TABLE trace",
		"DELETE FROM goose_db_version WHERE version_id > 2")
}

// olderTop makes of a record one of before, by the form of its top, of so many bytes less.
func olderTop(t *testing.T, b *bench, form byte, less int, statements ...string) *bench {
	t.Helper()
	var top []byte
	if err := b.Store.Read(ctx, b.Unit, func(v journal.View) (err error) { top, err = v.Top(); return err }); err != nil {
		t.Fatal(err)
	}
	top = append([]byte{form}, top[1:len(top)-sha256.Size-less]...)
	sum := sha256.Sum256(top)
	if err := b.Store.Close(); err != nil {
		t.Fatal(err)
	}
	b.run(t, slices.Insert(statements, 0, fmt.Sprintf("UPDATE top SET body = x'%x'", append(top, sum[:]...)))...)
	return benchAt(t, b.path)
}
