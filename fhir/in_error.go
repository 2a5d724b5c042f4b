package fhir

import (
	"fmt"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// inError makes a resource say that it was entered in error, and by the latest of the
// entries that amend the one it came of.
func (b *builder) inError(r *r4.Resource, amended []*entry.Entry) error {
	var why *entry.Entry
	if len(amended) > 0 {
		why = amended[len(amended)-1]
	}
	switch m := r.Model.Body.(type) {
	case *models.Observation:
		r.Model.Status = r4.InError
		if why != nil {
			m.Issued = r4.Ptr(r4.DateTime(why.Charted))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *models.DeviceUseStatement:
		r.Model.Status = r4.InError
		if why != nil {
			m.RecordedOn = r4.Ptr(r4.DateTime(why.Charted))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *models.Task:
		r.Model.Status = r4.Cancelled
		if why != nil {
			m.LastModified = r4.Ptr(laterOf(*m.AuthoredOn, r4.DateTime(why.Charted)))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *models.Encounter, *models.Flag, *models.Device:
		r.Model.Status = r4.InError
	case *models.DeviceMetric:
		m.OperationalStatus = r4.Ptr(models.DeviceMetricOperationalStatusEnteredInError)
	case *models.Patient:
		m.Active = r4.Ptr(false) // the type has no status
	default:
		return fmt.Errorf("%s cannot be withdrawn", r.Type)
	}
	return nil
}
