// Package fhir writes the record and the handover as HL7 FHIR R4 (4.0.1) resources:
// transactions, collections, NDJSON, documents, and the differences between two moments.
// It reads nothing: entries come back through package fhir/read, and package fhir/guide
// makes what a receiver loads beforehand.
//
// # Terms
//
// An Export is what a receiver is to hold: of each infant admitted at a moment, or who
// left lately, every resource that the entries of the stay yield, as known at another
// moment. A fact is
// what one entry says under one role. It becomes one resource, whose id and business
// identifier follow from the entry's id and the role. A period in which a device is
// used becomes one DeviceUseStatement, named after the entry that began it. A delta is
// what a receiver of an earlier Export lacks. A document is an infant's part of one
// handover, for a reader: it holds what its facts come from, not all that was sent.
//
// # What holds
//
// The same entries give the same bytes, in whatever order they come: nothing here
// reads a clock, a file, the network or chance. Numbers leave to the digit as they
// were charted, moments with the offset they were charted with. What was not
// charted yields nothing; what was looked for and not found yields a value. A
// corrected fact keeps its id, and says that it was corrected and why. A retracted one
// is not sent, but for what could stand open at a receiver, which every export ends; a
// delta tells the rest to a receiver that holds it. Figures are never computed here:
// they come from package handover. Every bundle passes a checker before it leaves; a
// fault is an error, and nothing leaves.
//
// Patient, Practitioner, Encounter, Location and Organization are the hospital's.
// A Patient is sent for a receiver that has none of that hospital number; people
// are referred to by their staff key, and are sent, as stays and cots are, only
// where the policy's fhir.send names them, and in documents.
//
// # What is so at a moment
//
// A Task for something due and a Flag belong to the moment that is asked for, not to an
// entry. An export holds those that are open then and, as completed, cancelled or
// inactive, those that were in the policy's time before and are over; a delta reaches
// back as far as it is asked for. Tasks and plans that were charted are facts
// of their entries, and are sent with their outcome.
//
// # What is carried
//
// The text of every entry is carried, so that package fhir/read can read a record back:
// as the extension care-entry of the first resource that the entry yields, else on a
// Basic resource, with what corrects or retracts it. A collection, NDJSON, and a
// transaction of a policy whose fhir.send names Basic hold everything from which the
// handover of the same moments compiles to the letter; of those who left in the window
// they hold what their leaving is told from. A transaction without Basic carries only
// what yields a resource. A document carries entries only where they are asked for; it
// is of one infant, and then carries what is charted for that infant and the handovers
// that name it, not the unit's own notes and tasks, and not what proved to be another
// infant's. The name of an infant whose name is not shown is never carried.
//
// # Vital signs and settings
//
// SpO2, heart rate, respiratory rate, axillary temperature, weight and head
// circumference follow the R4 vital-sign profiles, which validators apply by the
// LOINC code whatever meta.profile says. What is set on a device is filed as
// therapy, under codes of its own, and never as a component of a vital sign, where
// R4 allows neither L/min nor cm[H2O].
//
// # Caveats
//
// This is an aid to handover: not a device, not a monitor, not an order. The
// record, local policy, the prescriber and the manufacturer's instructions win;
// look at the infant. Receivers differ in what they make of a bundle: send a receiver
// one mode, for good. Never send older content over newer: a transaction carries no
// versions, so the receiver cannot tell.
package fhir
