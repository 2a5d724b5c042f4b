// Package guide makes the FHIR package that a receiver loads: code systems, value sets,
// profiles, the concept map and what a receiver must be able to do.
//
// No definition changes under a version: a test holds every published one to its content
// by testdata/versions.txt, and every code that was ever sent to testdata/codes.txt. The
// profiles say what this program sends and is ready to take back, and demand no more of
// anyone else.
package guide
