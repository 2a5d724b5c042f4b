package handover

// few are lists under a few names: to look through these costs less than a map does for
// each of many entries.
type few[T any] []listed[T]

type listed[T any] struct {
	name string
	all  []T
}

// of is the list under a name, to be read or added to.
func (f *few[T]) of(name string) *[]T {
	for i := range *f {
		if x := &(*f)[i]; x.name == name {
			return &x.all
		}
	}
	*f = append(*f, listed[T]{name: name})
	return &(*f)[len(*f)-1].all
}
