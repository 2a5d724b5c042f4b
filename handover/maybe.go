package handover

// Maybe keeps three states apart: charted (Applies, Value set), not charted
// (Applies, Value nil: null in JSON, and a gap) and not applicable (Applies
// false: left out). Why says why a figure that would apply is left out.
type Maybe[T any] struct {
	Applies bool
	Value   *T
	Why     string
}

func known[T any](v T) Maybe[T]          { return Maybe[T]{Applies: true, Value: &v} }
func notCharted[T any]() Maybe[T]        { return Maybe[T]{Applies: true} }
func leftOut[T any](why string) Maybe[T] { return Maybe[T]{Why: why} }
func (m Maybe[T]) gap() bool             { return m.Applies && m.Value == nil }

func knownIf[T any](v T, ok bool) Maybe[T] {
	if !ok {
		return notCharted[T]()
	}
	return known(v)
}

func (m Maybe[T]) orZero() (v T) {
	if m.Value != nil {
		v = *m.Value
	}
	return v
}
