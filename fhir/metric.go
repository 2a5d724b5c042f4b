package fhir

import (
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// metric adds the state of the oxygen sensor after the latest check of the stay:
// the check itself is an Observation, which is the record of it.
func (i *infant) metric(stay *entry.Stay) {
	var last *entry.Standing
	var driver *device
	for _, e := range i.entries {
		if e.Kind == "calibration" {
			last, driver = e, i.care.driverAt[e.ID]
		}
	}
	if last == nil {
		return
	}
	id := i.idOf(stay.Admission, "oxygen-sensor")
	known := i.builder.own(stay.Admission.ID + ".oxygen-sensor")
	check := models.DeviceMetricCalibration{Type: r4.Ptr(models.DeviceMetricCalibrationTypeUnspecified), State: r4.Ptr(i.calibrated(last)),
		Time: r4.Ptr(r4.DateTime(last.At))}
	if len(last.List("points")) == 2 {
		check.Type = r4.Ptr(models.DeviceMetricCalibrationTypeTwoPoint)
	}
	m := &models.DeviceMetric{
		Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)}, Type: *i.codes.Concept(r4.FiO2Read),
		Unit: &models.CodeableConcept{Coding: []models.Coding{r4.Standard{System: r4.UCUMSystem, Code: r4.Percent.UCUM,
			Display: ""}.Coding()}, Text: r4.Ptr(r4.Percent.Text)},
		Category: models.DeviceMetricCategoryMeasurement, Calibration: []models.DeviceMetricCalibration{check},
	}
	if driver != nil {
		m.Source = i.refer(driver)
	}
	i.facts = append(i.facts, &r4.Resource{Type: "DeviceMetric", ID: id, Infant: i.record.Infant, Identifier: known,
		Kind: "device", Entry: last.ID,
		Model: &r4.Model{Kind: "DeviceMetric", ID: id, Body: m}})
}

// calibrated is what the engine says of the sensor as of a check. It is unspecified
// where a gas of the policy was not read, or where the support needs no sensor.
func (i *infant) calibrated(check *entry.Standing) models.DeviceMetricCalibrationState {
	var until []*entry.Entry
	for _, e := range i.entries {
		switch e.Kind {
		case "admission":
			began := *e.Entry
			began.At = i.entries[0].At
			until = append(until, &began)
		case "support", "circuit", "calibration":
			until = append(until, e.Entry)
		}
		if e.ID == check.ID {
			break
		}
	}
	for _, s := range handover.Compile(handover.Ward{Entries: until, Policy: i.policy}, check.At.Time, i.ask.Known,
		check.At.Time).Infants {
		if s.Setup.Value == nil || s.Setup.Value.Calibrated.Value == nil {
			continue
		}
		if *s.Setup.Value.Calibrated.Value {
			return models.DeviceMetricCalibrationStateCalibrated
		}
		return models.DeviceMetricCalibrationStateCalibrationRequired
	}
	return models.DeviceMetricCalibrationStateUnspecified
}
