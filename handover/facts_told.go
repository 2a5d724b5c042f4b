package handover

// A face that tells the whole ward at once is told one fact after another, since the
// table of one infant has hundreds of them.

// Listener is told facts in the order of the table.
type Listener interface {
	// Fact is one with a value, or one that was not charted. It is not to be kept: the
	// next takes its place. It has no path, no words beside it and no source.
	Fact(f *Fact)
	// Begin is an object or a list under a name; an item of a list has none.
	Begin(name string, list bool)
	End(list bool)
}

// teller tells a listener what it reads.
type teller struct {
	to    Listener
	facts []*Fact // the one that is read at each depth
	deep  int
}

func (t *teller) all(specs []FactSpec, owner any) {
	for i := range specs {
		t.one(&specs[i], owner)
	}
}

func (t *teller) one(spec *FactSpec, owner any) {
	if t.deep == len(t.facts) {
		t.facts = append(t.facts, &Fact{teller: t})
	}
	f := t.facts[t.deep]
	f.FactSpec, f.State, f.Value, f.told = spec, Unsaid, nil, false
	t.deep++
	f.read(owner, f)
	t.deep--
	if !f.told && (f.State == Charted || f.State == NotCharted) {
		t.to.Fact(f)
	}
}

// object tells parts: of a fact without a name they stand among its owner's.
func (t *teller) object(f *Fact, parts func()) {
	f.told = true
	if f.Name == "" {
		parts()
		return
	}
	t.to.Begin(f.Name, false)
	parts()
	t.to.End(false)
}

// list tells so many items, each read of its owner.
func (t *teller) list(f *Fact, of []FactSpec, n int, owner func(i int) any) {
	f.told = true
	t.to.Begin(f.Name, true)
	for i := range n {
		t.to.Begin("", false)
		t.all(of, owner(i))
		t.to.End(false)
	}
	t.to.End(true)
}
