package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
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
	check := r4.DeviceMetricCalibration{Type: ptr(r4.DeviceMetricCalibrationTypeUnspecified), State: ptr(i.calibrated(last)), Time: ptr(dateTime(last.At))}
	if len(last.List("points")) == 2 {
		check.Type = ptr(r4.DeviceMetricCalibrationTypeTwoPoint)
	}
	m := &r4.DeviceMetric{
		Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Type: *i.codes.concept(fio2Read),
		Unit:     &r4.CodeableConcept{Coding: []r4.Coding{standard{ucumSystem, percent.ucum, ""}.coding()}, Text: ptr(percent.text)},
		Category: r4.DeviceMetricCategoryMeasurement, Calibration: []r4.DeviceMetricCalibration{check},
	}
	if driver != nil {
		m.Source = i.refer(driver)
	}
	i.facts = append(i.facts, &Resource{Type: "DeviceMetric", ID: id, Infant: i.record.Infant, Identifier: known, kind: "device", entry: last.ID,
		model: &resource{kind: "DeviceMetric", id: id, body: m}})
}

// calibrated is the engine's word on the sensor as of a check; unspecified where
// not every gas of the policy was read, or support needs no sensor.
func (i *infant) calibrated(check *entry.Standing) r4.DeviceMetricCalibrationState {
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
	for _, s := range handover.Compile(handover.Ward{Entries: until, Policy: i.policy}, check.At.Time, i.ask.Known, check.At.Time).Infants {
		if s.Setup.Value == nil || s.Setup.Value.Calibrated.Value == nil {
			continue
		}
		if *s.Setup.Value.Calibrated.Value {
			return r4.DeviceMetricCalibrationStateCalibrated
		}
		return r4.DeviceMetricCalibrationStateCalibrationRequired
	}
	return r4.DeviceMetricCalibrationStateUnspecified
}

func narrateMetric(m *r4.DeviceMetric) *r4.Narrative {
	p := newPage()
	for _, c := range m.Calibration {
		p.line(textOf(&m.Type), c.State.Code(), pair("checked", of(c.Time)))
	}
	if m.OperationalStatus != nil {
		p.line(m.OperationalStatus.Code())
	}
	return p.done()
}
