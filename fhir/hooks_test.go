package fhir

// Body is a resource's model beside what the models cannot hold, for benchmarks.
type Body struct {
	Type, ID, Status, Extended string // Extended: the primitive element that has an extension
	Extension                  any
	Model                      any
}

// First cuts an export to some of its resources that refer to nothing else.
func (x *Export) First(n int) *Export {
	for i := range x.Resources {
		some, err := x.closures(x.Resources[:i+1])
		if err == nil && len(some) >= n {
			cut := *x
			cut.Resources = some[:n]
			return &cut
		}
	}
	return x
}

// Bodies are the models of an export.
func (x *Export) Bodies() []Body {
	var out []Body
	for _, r := range x.Resources {
		m := r.Model
		out = append(out, Body{r.Type, r.ID, m.Status, m.Primitive.Element, m.Primitive.Extension, m.Body})
	}
	return out
}

// Write encodes the models again and puts them into one transaction; checked or not.
func (x *Export) Write(checked bool) ([]byte, error) {
	for _, r := range x.Resources {
		if err := r.Write(r.JSON[:0], r.Refs[:0]); err != nil {
			return nil, err
		}
	}
	s := Sending{Mode: Put}
	b := x.newTransaction(s)
	if err := x.fill(b, s, x.Resources); err != nil {
		return nil, err
	}
	if checked {
		return b.done()
	}
	return b.end(), nil
}
