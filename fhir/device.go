package fhir

import "cotline/fhir/internal/r4"

// device is one Device: of an infant by type and size, a placement of a tube, a
// fitting of a circuit; a driver is shared by its tag and belongs to no infant.
type device struct {
	id    string
	kind  r4.Concept
	site  r4.Concept // where it is worn
	size  string     // by the unit's own name; of a tube in Fr
	route string     // of a tube
	use   string     // of a tube
	tag   string     // of a driver
	entry string     // that brought it, where it is of one
	off   bool       // its period of use has ended, and none goes on
	left  bool       // the infant has left since
	sent  *r4.Model
}

// status of a tube or circuit ends with its wear, for the next one is another Device. A
// type and size of interface or bonnet may be put on again while the infant is here.
func (d *device) status() string {
	if d.left || d.off && d.entry != "" {
		return r4.Inactive
	}
	return r4.Active
}
