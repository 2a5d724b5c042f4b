package handover

// The constructors of rows. T is the owner of a fact, V what it holds: the types
// of the getter say which, so that a row is its name, its getter and its parts.

// val is a fact that is there or says nothing: an empty word, a moment or a day
// that is none. Numbers, counts, flags and lists of words always say something.
func val[T, V any](name string, get func(*T) V) FactSpec {
	return FactSpec{Name: name, read: func(owner any, f *Fact) { f.tell(get(owner.(*T))) }}
}

// opt is a fact that is there or says nothing, whatever its value.
func opt[T, V any](name string, get func(*T) *V) FactSpec {
	return FactSpec{Name: name, read: func(owner any, f *Fact) {
		if v := get(owner.(*T)); v != nil {
			f.tell(*v)
		}
	}}
}

// mark is a flag that is told only where it is true.
func mark[T any](name string, get func(*T) bool) FactSpec {
	return FactSpec{Name: name, read: func(owner any, f *Fact) {
		if get(owner.(*T)) {
			f.tell(true)
		}
	}}
}

// maybe is a fact of three states.
func maybe[T, V any](name string, get func(*T) Maybe[V]) FactSpec {
	return FactSpec{Name: name, read: func(owner any, f *Fact) {
		if v := stateOf(get(owner.(*T)), f); v != nil {
			f.Value = *v
		}
	}}
}

// object is a fact of several parts; without a name they stand among its owner's.
func object[T, V any](name string, get func(*T) *V, of ...FactSpec) FactSpec {
	return FactSpec{Name: name, Of: of, read: func(owner any, f *Fact) {
		if v := get(owner.(*T)); v != nil {
			f.State, f.Parts = Charted, partsOf(f, of, v)
		}
	}}
}

// maybeObject is an object of three states.
func maybeObject[T, V any](name string, get func(*T) Maybe[V], of ...FactSpec) FactSpec {
	return FactSpec{Name: name, Of: of, read: func(owner any, f *Fact) {
		if v := stateOf(get(owner.(*T)), f); v != nil {
			f.Parts = partsOf(f, of, v)
		}
	}}
}

// list is a list of objects; key names an item in a path, nil where nothing does.
func list[T, V any](name string, get func(*T) []V, key func(*V) string, of ...FactSpec) FactSpec {
	return FactSpec{Name: name, List: true, Of: of, read: func(owner any, f *Fact) {
		f.State, f.Items = Charted, itemsOf(f, of, get(owner.(*T)), key)
	}}
}

// someList is a list that says nothing when it is empty.
func someList[T, V any](name string, get func(*T) []V, of ...FactSpec) FactSpec {
	return FactSpec{Name: name, List: true, Of: of, read: func(owner any, f *Fact) {
		if items := get(owner.(*T)); len(items) > 0 {
			f.State, f.Items = Charted, itemsOf(f, of, items, nil)
		}
	}}
}

// maybeList is a list of three states.
func maybeList[T, V any](name string, get func(*T) Maybe[[]V], key func(*V) string, of ...FactSpec) FactSpec {
	return FactSpec{Name: name, List: true, Of: of, read: func(owner any, f *Fact) {
		if items := stateOf(get(owner.(*T)), f); items != nil {
			f.Items = itemsOf(f, of, *items, key)
		}
	}}
}

// named is an object whose parts words of the record name: each item of the
// getter's list is a part, read by one row.
func named[T, V any](name string, get func(*T) Maybe[[]V], key func(*V) string, part FactSpec) FactSpec {
	return FactSpec{Name: name, read: func(owner any, f *Fact) {
		items := stateOf(get(owner.(*T)), f)
		if items == nil {
			return
		}
		if t := f.teller; t != nil {
			row := part
			t.object(f, func() {
				for i := range *items {
					row.Name = key(&(*items)[i])
					t.one(&row, &(*items)[i])
				}
			})
			return
		}
		within := f.within()
		rows := make([]FactSpec, len(*items))
		for i := range *items {
			one, owner := &rows[i], any(&(*items)[i])
			*one = part
			one.Name = key(&(*items)[i])
			if f.fields != "" {
				spec := FieldOf(f.fields, one.Name)
				one.Label, one.Unit = spec.Label, spec.Unit
			}
			from := f.Source
			if o, ok := owner.(sourced); ok {
				from = o.origin()
			}
			f.Parts = readOne(f.Parts, one, owner, within, from)
		}
	}}
}

// tally is an object of counts, each under a word of the record.
func tally[T any](name string, words []string, get func(*T) []int) FactSpec {
	type counted struct {
		word string
		n    int
	}
	return named(name, func(owner *T) Maybe[[]counted] {
		out := make([]counted, len(words))
		for i, n := range get(owner) {
			out[i] = counted{words[i], n}
		}
		return known(out)
	}, func(c *counted) string { return c.word }, val("", func(c *counted) int { return c.n }))
}

// from gives a fact another source than its owner's.
func from[T any](get func(*T) Source, s FactSpec) FactSpec {
	read := s.read
	s.read = func(owner any, f *Fact) {
		f.Source = get(owner.(*T))
		read(owner, f)
	}
	return s
}

// beside puts words beside a value, where there are any, in place of its unit.
func beside[T any](get func(*T) string, s FactSpec) FactSpec {
	read := s.read
	s.read = func(owner any, f *Fact) {
		if words := get(owner.(*T)); words != "" {
			f.Remark = words
		}
		read(owner, f)
	}
	return s
}

// changing is a path that stands among the changes or the gaps only.
func changing(name, label string) FactSpec {
	return FactSpec{Name: name, Label: label, read: func(any, *Fact) {}}
}

// What a row says besides, one word each: the fields of FactSpec.

// as is how a sentence names a fact.
func (s FactSpec) as(label string) FactSpec { s.Label = label; return s }

// in is the unit of a fact.
func (s FactSpec) in(unit string) FactSpec { s.Unit = unit; return s }

// of takes the unit of a field of an entry.
func (s FactSpec) of(kind, field string) FactSpec { s.Unit = FieldOf(kind, field).Unit; return s }

// fieldsOf has parts named by the fields of a kind of entry, which describes them.
func (s FactSpec) fieldsOf(kind string) FactSpec { s.fields = kind; return s }

// items is what an item is called after its key.
func (s FactSpec) items(word string) FactSpec { s.Item = word; return s }

func (s FactSpec) apart() FactSpec      { s.Apart = true; return s }
func (s FactSpec) quiet() FactSpec      { s.Quiet = true; return s }
func (s FactSpec) fromRecord() FactSpec { s.record = true; return s }

// tell sets a value, if it says anything.
func (f *Fact) tell(v any) {
	if !isEmpty(v) {
		f.State, f.Value = Charted, v
	}
}

// stateOf sets the state of a fact, and is its value where there is one.
func stateOf[V any](m Maybe[V], f *Fact) *V {
	switch {
	case m.gap():
		f.State = NotCharted
	case m.Applies:
		f.State = Charted
		return m.Value
	default:
		f.State, f.Why = NotApplicable, m.Why
	}
	return nil
}

func partsOf(f *Fact, of []FactSpec, owner any) []Fact {
	if f.teller != nil {
		f.teller.object(f, func() { f.teller.all(of, owner) })
		return nil
	}
	return readAll(of, owner, f.within(), f.Source)
}

// within is what the paths of a fact's parts begin with.
func (f *Fact) within() string {
	if f.Name == "" {
		return f.Path
	}
	return f.Path + "."
}

func itemsOf[V any](f *Fact, of []FactSpec, items []V, key func(*V) string) []Fact {
	if f.teller != nil {
		f.teller.list(f, of, len(items), func(i int) any { return &items[i] })
		return nil
	}
	out := make([]Fact, len(items))
	for i := range items {
		out[i] = Fact{FactSpec: f.FactSpec, Path: f.Path, State: Charted, Source: f.Source}
		item := &out[i]
		if key != nil {
			item.Path += "." + key(&items[i])
		}
		item.Parts = partsOf(item, of, &items[i])
	}
	return out
}

// sayIf is a value that goes with another one only.
func sayIf[V any](told bool, v V) *V {
	if !told {
		return nil
	}
	return &v
}

// someOf is a list that does not apply where it is empty.
func someOf[V any](items []V) Maybe[[]V] { return Maybe[[]V]{Applies: len(items) > 0, Value: &items} }

// unless is text that must not be shown where a name is restricted.
func unless(restricted bool, name string) string {
	if restricted {
		return ""
	}
	return name
}
