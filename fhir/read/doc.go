// Package read takes entries out of FHIR R4 files: those that our own exports carry,
// under their own ids, and what it knows of others' Observations and Patients.
//
// Of a foreign resource hospital number, code, status, unit and moment must be exact;
// what is not is left aside by name, and what is broken refuses all of it. Nothing is
// rounded, rescaled or guessed. What a person decided in the record is never overruled
// by a file. A version sent again is told by its identifier and by when it was issued,
// and becomes a correction or a retraction under an id that follows from it.
//
// Texts taken from a file keep that file's text in memory for as long as they are used.
package read
