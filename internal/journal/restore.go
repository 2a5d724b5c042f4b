package journal

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"cotline/handover/entry"
)

// Restored is what became of a record that was restored.
type Restored struct {
	Taken    int // entries
	Head     Head
	Findings []Finding // by position in the record it was restored from
}

// Restore puts all that is whole of this journal into an empty one, and tells what
// is not. A row is whole when its sum is the one that the index has for its id;
// where the index cannot tell, when text and chain hold to each other. Nothing of
// this journal changes.
//
// Rows keep their moments of acceptance. Where rows were left out, those after
// stand at other positions, under another chain: what was signed up to there is
// kept as it is, and not compiled again.
func (j *Journal) Restore(ctx context.Context, into Store) (Restored, error) {
	r := rescue{journal: j, rows: map[int64]Row{}, chains: map[int64]Hash{}, policies: map[string]string{}}
	if err := r.read(ctx); err != nil {
		return r.result, err
	}
	err := into.Write(ctx, j.Unit, func(tx Tx) error {
		head, err := tx.Head()
		if err != nil || head.Position > 0 {
			return errors.Join(err, errors.New("the record to restore into is not empty"))
		}
		return r.write(tx)
	})
	return r.result, err
}

// rescue is what could be read of a damaged journal.
type rescue struct {
	journal  *Journal
	rows     map[int64]Row
	chains   map[int64]Hash // of all rows, whole or not
	sums     *stored        // nil: no index
	upto     int64
	policies map[string]string
	inForce  []InForce
	unsure   bool // which policy is in force cannot be told
	signed   []Signed
	result   Restored
}

func (r *rescue) tell(position int64, format string, args ...any) {
	r.result.Findings = append(r.result.Findings, Finding{position, fmt.Sprintf(format, args...)})
}

func (r *rescue) read(ctx context.Context) error {
	j := r.journal
	if err := r.end(ctx); err != nil {
		return err
	}
	passed, err := j.Store.Salvage(ctx, j.Unit, r.upto, func(row Row) {
		r.rows[row.Position], r.chains[row.Position] = row, row.Chain
	})
	if err != nil {
		return err
	}
	if passed > 0 {
		r.tell(0, "%d places of the file could not be read", passed)
	}
	return j.Store.Read(ctx, j.Unit, func(v View) error {
		r.index(v)
		r.judge()
		r.beside(v)
		return ctx.Err()
	})
}

// end finds how far the record went.
func (r *rescue) end(ctx context.Context) error {
	return r.journal.Store.Read(ctx, r.journal.Unit, func(v View) error {
		lost, mark, err := behind(v)
		if lost != nil {
			r.tell(0, "%s", lost)
		}
		r.upto = mark.Position
		if t, fault := topOf(v); fault == nil && t != nil {
			r.upto = max(r.upto, t.Position)
		}
		if head, fault := v.Head(); fault == nil && head.Position < 10*r.upto+farthest {
			r.upto = max(r.upto, head.Position) // a position that damage made up would be looked for for years
		}
		if err != nil && !errors.Is(err, ErrDamaged) {
			return err
		}
		return nil
	})
}

func (r *rescue) index(v View) {
	t, err := topOf(v)
	switch {
	case err != nil:
		r.result.Findings = append(r.result.Findings, finding(err))
	case t != nil:
		r.sums = newStored(v, t)
	}
}

// farthest is how far beyond ten times what the head file and the index prove a record's
// last row is looked for.
const farthest = 1_000_000

// judge leaves out what is not whole, and tells it.
func (r *rescue) judge() {
	next := int64(1)
	for _, p := range slices.Sorted(maps.Keys(r.rows)) {
		if p > next {
			r.tell(next, "the rows from here to position %d are missing", p-1)
		}
		next = max(next, p+1)
		row := r.rows[p]
		if why := r.fault(row); why != "" {
			r.tell(p, "left out: %s (id %s, infant %s, kind %s, as they stand beside the text)", why, short(row.ID), short(row.Infant),
				short(row.Kind))
			delete(r.rows, p)
		}
	}
	if next <= r.upto {
		r.tell(next, "the rows from here to position %d are missing", r.upto)
	}
}

// short is a key as it stands in a damaged row: plain letters, and not many.
func short(key string) string {
	out := []rune{}
	for _, c := range key {
		if c < 0x21 || c > 0x7e || len(out) == 64 {
			break
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		return "-"
	}
	return string(out)
}

// fault says why a row is not whole, empty when it is.
func (r *rescue) fault(row Row) string {
	e, err := row.entry()
	switch {
	case err != nil:
		return err.Error()
	case string(e.AppendCanonical(nil)) != row.Text:
		return "its text is not in its canonical form"
	case e.ID != row.ID || e.Infant != row.Infant || e.Kind != row.Kind:
		return "id, infant or kind beside the text are not those in it"
	}
	if r.sums != nil {
		position, sum, err := r.sums.item("id/" + row.ID)
		if err == nil && (position != row.Position || sum != row.sum()) {
			return "it is not what was kept"
		}
		if err == nil {
			return ""
		}
	}
	before, has := r.chains[row.Position-1]
	if row.Position == 1 || has {
		if before.Next(row.Text) == row.Chain {
			return ""
		}
		return "the chain does not hold: this row or the one before is not what was taken"
	}
	return "neither index nor chain tell that it is what was taken"
}

// beside reads policies, and what was signed.
func (r *rescue) beside(v View) {
	hashes, err := v.Policies()
	if err != nil {
		r.tell(0, "policies cannot be listed: %s", finding(err).What)
	}
	for _, hash := range hashes {
		if text, found, err := v.Policy(hash); err == nil && found && digest([]byte(text)) == hash {
			r.policies[hash] = text
		} else {
			r.tell(0, "left out: the policy kept under %s is not the one that was in force", short(hash))
		}
	}
	r.inForceOf(v)
	for _, p := range r.positions() {
		row := r.rows[p]
		if row.Kind != "handover" {
			continue
		}
		s, found, err := v.Signed(row.ID)
		if err != nil || !found || digest(s.JSON) != s.Digest || !r.cutHolds(s) {
			r.tell(p, "what handover %s was signed on is not whole: its bytes are lost", row.ID)
			s = Signed{ID: row.ID, Position: p, Digest: digest(nil), Form: Kept}
		}
		r.signed = append(r.signed, s)
	}
}

// inForceOf reads which policies were in force. Where that is not whole, or the text of
// the last is lost, none is: nobody is given another one's clock.
func (r *rescue) inForceOf(v View) {
	var t *top
	if r.sums != nil {
		t = r.sums.top
	}
	had, _, err := policiesOf(v, t)
	if err != nil || had.Err != nil && len(had.InForce) == 0 && errors.Is(had.Err, ErrDamaged) {
		r.tell(0, "which policies were in force is not whole: put one in force with cotline chart --policy")
		r.unsure = true
		return
	}
	r.inForce = had.InForce
}

func (r *rescue) cutHolds(s Signed) bool {
	if r.sums == nil {
		return true
	}
	position, sum, err := r.sums.item("signed/" + s.ID)
	return err != nil || position == s.Position && sum == s.sum()
}

// positions are those of the rows that are whole, in order.
func (r *rescue) positions() []int64 {
	out := make([]int64, 0, len(r.rows))
	for p := range r.rows {
		out = append(out, p)
	}
	slices.Sort(out)
	return out
}

func (r *rescue) write(tx Tx) error {
	s := newStored(tx, &top{})
	if r.sums != nil {
		s.top.sound = r.sums.top.sound
	}
	var rows []Row
	var entries []*entry.Entry
	heads := map[int64]Head{} // where what stood at a position ends now
	positions := r.positions()
	for i, p := range positions {
		row := r.rows[p]
		e, err := row.entry()
		if err != nil {
			return err
		}
		next := Head{}
		if i > 0 {
			next = heads[positions[i-1]]
		}
		row.Position, row.Chain = next.Position+1, next.Chain.Next(row.Text)
		heads[p] = Head{row.Position, row.Chain}
		rows, entries = append(rows, row), append(entries, e)
	}
	if err := tx.Append(rows); err != nil {
		return err
	}
	for i, row := range rows {
		if err := s.take(row, entries[i]); err != nil {
			return err
		}
	}
	for hash, text := range r.policies {
		if err := tx.KeepPolicy(hash, text); err != nil {
			return err
		}
	}
	if err := r.putInForce(tx, s, positions); err != nil {
		return err
	}
	if err := r.sign(tx, s, positions, heads); err != nil {
		return err
	}
	r.result.Taken, r.result.Head = len(rows), s.top.Head
	return s.keep()
}

// putInForce keeps which policies were in force, from where their entries are now.
func (r *rescue) putInForce(tx Tx, s *stored, positions []int64) error {
	if r.unsure {
		r.inForce = append(r.inForce, InForce{From: int64(len(positions)) + 1})
	}
	for _, f := range r.inForce {
		if _, kept := r.policies[f.Policy]; !kept {
			f.Policy = lostPolicy
			if err := tx.KeepPolicy(lostPolicy, ""); err != nil {
				return err
			}
		}
		if !r.unsure {
			n, _ := slices.BinarySearch(positions, f.From)
			f.From = int64(n) + 1
		}
		if err := s.inForce(tx, f); err != nil {
			return err
		}
	}
	return nil
}

// sign keeps what was signed. Where the rows up to there are not those that it was
// signed on, or its policy is gone, it is not to be compiled again.
func (r *rescue) sign(tx Tx, s *stored, positions []int64, heads map[int64]Head) error {
	for i, signed := range r.signed {
		n, _ := slices.BinarySearch(positions, signed.Position+1)
		if n == 0 {
			continue
		}
		at := heads[positions[n-1]]
		_, policy := r.policies[signed.Policy]
		if at != (Head{signed.Position, signed.Chain}) || !policy {
			signed.Form = Kept
		}
		signed.Position = at.Position
		r.signed[i] = signed
	}
	slices.SortFunc(r.signed, func(a, b Signed) int {
		return cmp.Or(cmp.Compare(a.Position, b.Position), cmp.Compare(a.ID, b.ID))
	})
	for _, signed := range r.signed {
		if _, kept := r.policies[signed.Policy]; !kept { // it must name one that is there
			signed.Policy = lostPolicy
			if err := tx.KeepPolicy(signed.Policy, ""); err != nil {
				return err
			}
			r.policies[signed.Policy] = ""
		}
		if err := tx.KeepSigned(signed); err != nil {
			return err
		}
		if err := s.cut(signed); err != nil {
			return err
		}
	}
	return nil
}
