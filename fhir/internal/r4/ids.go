package r4

import (
	"fmt"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover"
)

// Ids are UUIDs of version 5 (RFC 9562), so the same facts have the same ids on
// every run and on every machine:
//
//	a fact of an entry      in the name space of the entry's own id, by role
//	an infant               in that of fhir.base, by unit and infant's key
//	one under a label       in that of the infant
//	an interface or bonnet  in that of the infant, by type and size
//	a tube, a circuit       as a fact of the entry that brought it
//	a cot                   in that of fhir.base, by unit and its name
//	a person                in that of fhir.identifiers.staff.system, by staff key
//	what is due             in that of the infant, by what it is and when it fell due
//	a flag                  in that of the infant, by what it says and the other infant
//	a driver                in that of fhir.identifiers.device.system, by tag
//
// Two records that send to one receiver need a fhir.base or a unit of their own.

// NamedID is the id of a name within a name space (RFC 9562, version 5).
func NamedID(space uuid.UUID, name string) uuid.UUID { return uuid.NewSHA1(space, []byte(name)) }

// IDOfEntry is the id of what an entry yields under a role; an error when the entry's own
// id is no UUID.
func IDOfEntry(entry, role string) (string, error) {
	space, err := uuid.Parse(entry)
	if err != nil {
		return "", fmt.Errorf("entry %q: its id is not a UUID", entry)
	}
	return NamedID(space, role).String(), nil
}

// MustIDOfEntry is IDOfEntry for an entry whose id was read as a UUID; it panics at another.
func MustIDOfEntry(entry, role string) string {
	return NamedID(uuid.MustParse(entry), role).String()
}

// IDOfInfant is the id of an infant's Patient: the same over all stays.
func IDOfInfant(p *handover.Policy, infant string) uuid.UUID {
	return NamedID(NamedID(uuid.NameSpaceURL, p.FHIR.Base), "Patient\n"+p.Unit+"\n"+infant)
}

// IDOfLabelled is the id of an infant's Patient under a temporary label, where that is
// another one than the Patient of its number: the same over all stays and labels.
func IDOfLabelled(p *handover.Policy, infant string) uuid.UUID {
	return NamedID(IDOfInfant(p, infant), "temporary")
}

// IDOfDevice is the id of an infant's interface or bonnet of a type and size: the same one
// for every period in which it is worn.
func IDOfDevice(p *handover.Policy, infant string, kind Concept, size string) string {
	return NamedID(IDOfInfant(p, infant), "Device\n"+kind.Code+"\n"+size).String()
}

// IDOfDue is the id of what an infant is due, by when it fell due.
func IDOfDue(p *handover.Policy, infant, what, care string, from time.Time) string {
	name := strings.Join([]string{"Task", what, care, from.UTC().Format(time.RFC3339Nano)}, "\n")
	return NamedID(IDOfInfant(p, infant), name).String()
}

// IDOfFlag is the id of a Flag on an infant about another one.
func IDOfFlag(p *handover.Policy, infant, about, other string) string {
	return NamedID(IDOfInfant(p, infant), "Flag\n"+about+"\n"+other).String()
}

// IDOfDriver is the id of a driver: the same for every infant that it serves.
func IDOfDriver(system, tag string) string {
	return NamedID(NamedID(uuid.NameSpaceURL, system), "Device\n"+tag).String()
}

// IDOfCot is the id of a cot of the unit.
func IDOfCot(p *handover.Policy, name string) string {
	return NamedID(NamedID(uuid.NameSpaceURL, p.FHIR.Base), "Location\n"+p.Unit+"\n"+name).String()
}

// IDOfPerson is the id of who is charted by a staff key.
func IDOfPerson(system, key string) string {
	return NamedID(NamedID(uuid.NameSpaceURL, system), "Practitioner\n"+key).String()
}
