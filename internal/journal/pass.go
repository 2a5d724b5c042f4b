package journal

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"sync"

	"cotline/handover"
	"cotline/handover/entry"
)

// pass is one walk through a journal, from its first row to its last. Signed
// handovers are compiled again on the way, where they were cut, side by side with
// the walk: what they are compiled from does not change after it.
type pass struct {
	journal  *Journal
	view     View
	report   *Report
	memory   *memory
	reading  Reading
	policies map[string]policyRead
	verdicts []*verdict
	work     chan func()
}

type policyRead struct {
	policy *handover.Policy
	why    string
}

// verdict is how a signed handover came out.
type verdict struct {
	signed Signed
	why    string // empty: as it was signed
	engine bool   // another version of the engine may say another thing
	kept   bool   // of form Kept, with the bytes as they were kept
	empty  bool   // none were
}

func (p *pass) run() error {
	t, err := topOf(p.view)
	if err != nil {
		p.report.Findings = append(p.report.Findings, finding(err))
	}
	cuts, err := p.view.Cuts()
	if err != nil {
		return err
	}
	p.reading = Reading{Signed: map[string]int64{}}
	done := p.start()
	defer done.Wait()
	last, proof, err := p.walk(t, cuts)
	close(p.work)
	p.reading.Head = last
	p.report.Entries, p.report.Head = len(p.reading.Entries), last
	rows := append(p.reading.Findings, proof.end(p.view, last, cuts, p.reading.Findings)...)
	p.report.Findings = append(p.report.Findings, rows...)
	if err != nil {
		return err
	}
	if err := p.report.policyTexts(p.view, t); err != nil {
		return err
	}
	if t != nil && len(rows) == 0 {
		if err := p.index(t); err != nil {
			return err
		}
	}
	done.Wait()
	p.tell()
	return nil
}

// start lets as many compile as there are cores. Some wait for them, so that they are at
// work while the index is looked through; each may hold a list of the whole ward.
func (p *pass) start() *sync.WaitGroup {
	n := runtime.GOMAXPROCS(0)
	p.work = make(chan func(), 4*n)
	var done sync.WaitGroup
	for range n {
		done.Go(func() {
			for do := range p.work {
				do()
			}
		})
	}
	return &done
}

// walk goes through the rows, and through what was signed on each.
func (p *pass) walk(t *top, cuts []Signed) (last Head, held proof, err error) {
	held.top = t
	head, err := p.view.Head()
	if err != nil {
		return last, held, err
	}
	err = eachParsed(p.view, func(row Row, is parsed) {
		for len(cuts) > 0 && cuts[0].Position < row.Position { // their row is missing
			cuts = p.signed(cuts, last)
		}
		p.row(&held, row, is, last)
		last = Head{row.Position, row.Chain}
		if len(cuts) > 0 && cuts[0].Position == row.Position {
			cuts = p.signed(cuts, last)
		}
		if tell := p.journal.Progress; tell != nil && row.Position%1000 == 0 {
			tell(row.Position, head.Position)
		}
	})
	for len(cuts) > 0 {
		cuts = p.signed(cuts, last)
	}
	return last, held, err
}

func (p *pass) row(proof *proof, row Row, is parsed, last Head) {
	e, text := p.reading.hold(row, is, last)
	proof.row(row, text)
	if e == nil {
		return
	}
	p.reading.add(e, row.Position)
	p.memory.take(&held{e, row.Position, row.sumOf(text)}) // memory has no faults
}

// signed takes what was signed at the first of some positions, and returns the rest.
func (p *pass) signed(cuts []Signed, at Head) []Signed {
	n := 1
	for n < len(cuts) && cuts[n].Position == cuts[0].Position {
		n++
	}
	for _, c := range cuts[:n] {
		p.reading.Signed[c.ID] = c.Position
		p.memory.setItem("signed/"+c.ID, c.Position, c.sum()) // memory has no faults
	}
	for _, c := range cuts[:n] {
		p.one(c, at)
	}
	return cuts[n:]
}

// one compiles a signed handover again, unless something that it stands on is gone.
func (p *pass) one(c Signed, at Head) {
	v := &verdict{signed: c}
	p.verdicts = append(p.verdicts, v)
	s, found, err := p.view.Signed(c.ID)
	policy, why := p.policy(c.Policy)
	signing, _ := index{p.memory}.byID(c.ID) // memory has no faults
	switch {
	case err != nil:
		v.why = err.Error()
	case signing == nil:
		v.why = "its entry is not in the record"
	case c.Form == Kept && digest(s.JSON) == c.Digest:
		v.kept, v.empty = true, len(s.JSON) == 0
	case !found || digest(s.JSON) != c.Digest:
		v.why = "the bytes that were kept are not those that were signed"
	case at.Position != c.Position:
		v.why = fmt.Sprintf("the record ends at position %d", at.Position)
	case at.Chain != c.Chain:
		v.why = "the record up to there is not the one it was signed on"
	case why != "":
		v.why = why
	default:
		v.engine = c.Engine != p.journal.Engine
		p.again(v, s, signing.Entry, policy)
	}
}

// again compiles a handover and says how it differs from the bytes kept.
func (p *pass) again(v *verdict, s Signed, e *entry.Entry, policy *handover.Policy) {
	head := Head{s.Position, s.Chain}
	ward := p.reading.Ward(policy)
	if s.Form == WholeWard {
		ward.Entries, ward.Signed = slices.Clip(ward.Entries), maps.Clone(p.reading.Signed)
	} else {
		var err error
		if ward, err = (index{p.memory}).ward(policy, e); err != nil {
			v.why = err.Error()
			return
		}
	}
	p.work <- func() {
		asOf, _ := e.Moment("asOf")
		text := p.journal.Compile(ward, asOf.Time, e.Charted.Time, head)
		if !bytes.Equal(text, s.JSON) {
			v.why = firstDifference(s.JSON, text)
		}
	}
}

func (p *pass) policy(hash string) (*handover.Policy, string) {
	r, read := p.policies[hash]
	if !read {
		var err error
		var lacks lack
		if r.policy, lacks, err = policyOf(p.view, hash); err != nil {
			lacks.why = "cannot be read"
		}
		if r.policy == nil {
			r.why = "the policy it was signed under " + lacks.why
		}
		p.policies[hash] = r
	}
	return r.policy, r.why
}

// tell tells of signed handovers, by position.
func (p *pass) tell() {
	slices.SortStableFunc(p.verdicts, func(a, b *verdict) int {
		return cmp.Or(cmp.Compare(a.signed.Position, b.signed.Position), cmp.Compare(a.signed.ID, b.signed.ID))
	})
	for _, v := range p.verdicts {
		s := v.signed
		switch {
		case v.kept && v.empty:
			p.report.Remarks = append(p.report.Remarks,
				fmt.Sprintf("handover %s: what was signed was lost before this record was restored", s.ID))
		case v.kept:
			p.report.Remarks = append(p.report.Remarks,
				fmt.Sprintf("handover %s stands as it was signed; it was restored from a record of which not all was whole, and is not "+
					"compiled again", s.ID))
		case v.why == "":
			p.report.Signed++
		case v.engine:
			p.report.Remarks = append(p.report.Remarks,
				fmt.Sprintf("handover %s was compiled by version %s of the engine, this is %s: %s", s.ID, s.Engine, p.journal.Engine,
					v.why))
		default:
			p.report.Findings = append(p.report.Findings,
				Finding{s.Position, "handover " + s.ID + ", signed here, does not come out the same: " + v.why})
		}
	}
	for i, e := range p.reading.Entries {
		if _, kept := p.reading.Signed[e.ID]; e.Kind == "handover" && !kept {
			p.report.Findings = append(p.report.Findings,
				Finding{p.reading.Positions[i], "what handover " + e.ID + " was signed on is gone"})
		}
	}
}

// index holds the index that is kept to the one made anew.
func (p *pass) index(t *top) error {
	wrong, first := 0, ""
	bad := func(what string) {
		if wrong++; wrong == 1 {
			first = what
		}
	}
	want := make(map[[keySize]byte]value, len(p.memory.items))
	for name, v := range p.memory.items {
		want[keyOf(name)] = v
	}
	newStored(p.view, t).trie.all(func(it item) {
		if v, ok := want[it.key]; !ok || v.number != it.number || v.hash != it.hash {
			bad("one of its entries is not what the rows say")
		}
		delete(want, it.key)
	}, func(err error) { bad(finding(err).What) })
	if len(want) > 0 {
		bad(fmt.Sprintf("%d of its entries are not there", len(want)))
	}
	links := 0
	for _, list := range p.memory.links {
		links += len(list)
	}
	err := p.view.Links(func(stream string, n, position int64) error {
		links--
		list := p.memory.links[stream]
		if n < 1 || n > int64(len(list)) || list[n-1].position != position {
			bad(fmt.Sprintf("link %d of a list is not what the rows say", n))
		}
		return nil
	})
	if links > 0 {
		bad(fmt.Sprintf("%d links of lists are not there", links))
	}
	if wrong > 0 {
		p.report.Findings = append(p.report.Findings,
			Finding{0, fmt.Sprintf("the index, by which entries are found, is damaged: %s (faults: %d); the entries are whole, cotline "+
				"restore makes a record of them", first, wrong)})
	}
	return err
}
