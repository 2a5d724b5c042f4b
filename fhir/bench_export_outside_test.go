//go:build outside

package fhir_test

import "testing"

// A month of a unit, and three days of many units: too long for every run.

func BenchmarkExportMonth(b *testing.B) { exportBeside(b, 60, 30) }

func BenchmarkExportUnits(b *testing.B) { exportBeside(b, 1200, 3) }
