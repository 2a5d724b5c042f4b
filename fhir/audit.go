package fhir

import (
	"errors"
	"fmt"
	"net/netip"
	"strconv"
	"time"

	"github.com/google/uuid"
	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// Audit is an event of a unit's trace.
type Audit struct {
	Unit     string // the record's key
	Position int64
	At       time.Time
	Kind     string // a word of the trace
	What     string // words of the program
	Infants  []string
	Whole    bool   // every infant of the unit
	Who      string // the name to sign in by; empty: nobody who was proven
	Program  bool
	LetInBy  string // the colleague who let her in
	Whom     string // whose account it is about
	Address  string // from where
}

// AuditKinds are the words of the trace that have an AuditEvent.
func AuditKinds() (out []string) {
	for kind := range r4.AuditKinds {
		out = append(out, kind)
	}
	return out
}

// AuditEvent is an event of the trace as a resource, checked. Infants are told by our
// own identifier, which their Patient has beside its hospital number (one under a label that
// stands apart has another), never by name; people by the name they sign in by.
func AuditEvent(p *handover.Policy, a Audit) ([]byte, error) {
	kind, known := r4.AuditKinds[a.Kind]
	if !known {
		return nil, errors.New("an event of the trace of a kind that has no code of FHIR here")
	}
	m := &models.AuditEvent{Type: kind.Type.Coding(), Action: r4.Ptr(kind.Action), Recorded: r4.Stamp(a.At.In(p.Zone)),
		Outcome: r4.Ptr(models.AuditEventOutcome0), Agent: auditAgents(a), Entity: auditEntities(p, a),
		Source: models.AuditEventSource{Observer: models.Reference{Type: r4.Ptr("Device"), Display: r4.Ptr("cotline, " + p.Unit)},
			Type: []models.Coding{r4.AuditServer.Coding()}},
	}
	if kind.Subtype.Code != "" {
		m.Subtype = []models.Coding{kind.Subtype.Coding()}
	}
	if kind.Refused {
		m.Outcome, m.OutcomeDesc = r4.Ptr(models.AuditEventOutcome4), r4.Ptr("refused")
	}
	id := r4.NamedID(r4.NamedID(uuid.NameSpaceURL, p.FHIR.Base), "AuditEvent\n"+a.Unit+"\n"+strconv.FormatInt(a.Position, 10)).String()
	r := &r4.Resource{Type: "AuditEvent", ID: id, Model: &r4.Model{Kind: "AuditEvent", ID: id, Body: m}}
	if err := r.Encode(p); err != nil {
		return nil, err
	}
	if faults := r4.Check(r.JSON); len(faults) > 0 {
		return nil, fmt.Errorf("an AuditEvent is not sound: %s", faults[0])
	}
	return r.JSON, nil
}

// auditAgents are who did it, and the colleague who let her in.
func auditAgents(a Audit) []models.AuditEventAgent {
	who := models.AuditEventAgent{Requestor: true, AltId: r4.Some(a.Who)}
	if a.Who == "" {
		who.Name = r4.Ptr("nobody who was proven")
	} else if !a.Program {
		who.Type = auditPerson()
	}
	if _, err := netip.ParseAddr(a.Address); err == nil {
		who.Network = &models.AuditEventAgentNetwork{Address: &a.Address, Type: r4.Ptr(models.AuditEventAgentNetworkType2)}
	}
	agents := []models.AuditEventAgent{who}
	if a.LetInBy != "" {
		agents = append(agents, models.AuditEventAgent{AltId: &a.LetInBy, Type: auditPerson(),
			Role: []models.CodeableConcept{*r4.Texted("let the other in")}})
	}
	return agents
}

func auditPerson() *models.CodeableConcept {
	return &models.CodeableConcept{Text: r4.Ptr(r4.AuditPerson.Display), Coding: []models.Coding{r4.AuditPerson.Coding()}}
}

// auditEntities are the infants, and what else it was about, in words.
func auditEntities(p *handover.Policy, a Audit) (out []models.AuditEventEntity) {
	for _, infant := range a.Infants {
		out = append(out, models.AuditEventEntity{
			What: &models.Reference{Type: r4.Ptr("Patient"),
				Identifier: r4.IdentifierOf(p.FHIR.Base+r4.OwnIDPath, r4.IDOfInfant(p, infant).String())},
			Type: r4.Ptr(r4.AuditEntity.Coding()), Role: r4.Ptr(r4.AuditPatientRole.Coding()),
		})
	}
	if a.Whole {
		out = append(
			out,
			models.AuditEventEntity{What: &models.Reference{Display: &p.Unit}, Description: r4.Ptr("every infant of the unit")},
		)
	}
	if a.Whom != "" {
		out = append(out, models.AuditEventEntity{What: &models.Reference{Display: &a.Whom}, Description: r4.Ptr("the account")})
	}
	if a.What != "" {
		out = append(out, models.AuditEventEntity{What: &models.Reference{Display: r4.Ptr("cotline")}, Description: &a.What})
	}
	return out
}
