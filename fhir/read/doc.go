// Package read takes entries out of FHIR R4 files: those that our own exports carry,
// under their own ids, and what it knows of others' Observations and Patients.
//
// # Our own
//
// An entry whose text a resource carries is read from that text alone, without loss: the
// handover of the same moments compiles to the letter. The same text on several
// resources is one entry.
//
// # Others'
//
// A few vital signs become entries, where each is exactly what a nurse would chart:
// hospital number, code, status, unit and moment must be exact. Nothing is rounded or
// guessed; kilograms become grams by moving the point, and no other unit is converted.
// What does not become an entry is left aside by name, with the reason, and what breaks
// R4 refuses the whole offer. Elements that R4 demands are looked for in the JSON,
// because a model would fill them in. A blood gas is left aside: others send it value by
// value, each under an identifier of its own, and the values of one sample would become
// entries apart.
//
// An infant is told by identifiers. A Patient admits and renames nobody unless somebody
// says so.
//
// # Sent again
//
// An entry's id follows from the sender's identifier, so the same resource is the same
// entry. Versions are told apart by when they were issued: the sender's correction
// becomes a correction of the entry, and its withdrawal a retraction, each under an id
// that follows from it. What a person decided in the record is never overruled by a file.
//
// # Caveats
//
// Texts taken from a file keep that file's text in memory for as long as they are used.
package read
