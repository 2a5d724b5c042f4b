package ward

import "encoding/json"

// Num is a decimal as it was charted: 5.0 stays 5.0.
type Num = json.Number

// fields are those of one kind, in the order in which the record lists them. Empty ones are left out.
type fields interface{ kind() string }

// The infant and the stay.
type (
	admission struct {
		Born         string `json:"born"`
		Cot          string `json:"cot"`
		MRN          string `json:"mrn,omitempty"`
		Temporary    string `json:"temporary,omitempty"`
		Family       string `json:"family,omitempty"`
		Given        string `json:"given,omitempty"`
		Sex          string `json:"sex,omitempty"`
		Gestation    string `json:"gestation,omitempty"`
		BirthWeightG Num    `json:"birthWeightG,omitempty"`
		BirthOrder   Num    `json:"birthOrder,omitempty"`
		Multiples    Num    `json:"multiples,omitempty"`
		Mother       string `json:"mother,omitempty"`
		Visit        string `json:"visit,omitempty"`
		From         string `json:"from,omitempty"`
	}
	identity struct {
		MRN        string `json:"mrn,omitempty"`
		Temporary  string `json:"temporary,omitempty"`
		Family     string `json:"family,omitempty"`
		Given      string `json:"given,omitempty"`
		Sex        string `json:"sex,omitempty"`
		Gestation  string `json:"gestation,omitempty"`
		Visit      string `json:"visit,omitempty"`
		Mother     string `json:"mother,omitempty"`
		Restricted bool   `json:"restricted,omitempty"`
	}
	move struct {
		Cot string `json:"cot"`
	}
	discharge struct {
		To    string `json:"to"`
		Place string `json:"place,omitempty"`
	}
)

// Support.
type (
	support struct {
		State  string `json:"state"`
		Mode   string `json:"mode,omitempty"`
		Driver string `json:"driver,omitempty"`
		Why    string `json:"why,omitempty"`
		Reason string `json:"reason,omitempty"`
	}
	settings struct {
		Pressure    Num `json:"pressureCmH2O,omitempty"`
		Upper       Num `json:"upperPressureCmH2O,omitempty"`
		Rate        Num `json:"rateMin,omitempty"`
		Inspiratory Num `json:"inspiratoryS,omitempty"`
		FiO2        Num `json:"fio2Percent,omitempty"`
		Flow        Num `json:"flowLMin,omitempty"`
		SpO2Low     Num `json:"spo2LowPercent,omitempty"`
		SpO2High    Num `json:"spo2HighPercent,omitempty"`
	}
	observations struct {
		SpO2      Num        `json:"spo2Percent,omitempty"`
		SpO2Site  string     `json:"spo2Site,omitempty"`
		HeartRate Num        `json:"heartRateBpm,omitempty"`
		RespRate  Num        `json:"respRateBpm,omitempty"`
		Axillary  Num        `json:"axillaryC,omitempty"`
		Pressure  Num        `json:"pressureCmH2O,omitempty"`
		FiO2      Num        `json:"fio2Percent,omitempty"`
		Airway    Num        `json:"airwayC,omitempty"`
		Incubator Num        `json:"incubatorC,omitempty"`
		Abdomen   Num        `json:"abdomenCm,omitempty"`
		Bubbling  *bool      `json:"bubbling,omitempty"`
		Silverman *silverman `json:"silverman,omitempty"`
	}
	silverman struct {
		Chest       Num `json:"chest,omitempty"`
		Intercostal Num `json:"intercostal,omitempty"`
		Xiphoid     Num `json:"xiphoid,omitempty"`
		Nares       Num `json:"nares,omitempty"`
		Grunt       Num `json:"grunt,omitempty"`
	}
	bloodGas struct {
		Sample      string `json:"sample"`
		PH          Num    `json:"ph,omitempty"`
		PCO2KPa     Num    `json:"pco2KPa,omitempty"`
		PCO2MmHg    Num    `json:"pco2MmHg,omitempty"`
		BaseExcess  Num    `json:"baseExcessMmolL,omitempty"`
		Bicarbonate Num    `json:"bicarbonateMmolL,omitempty"`
		Lactate     Num    `json:"lactateMmolL,omitempty"`
	}
	limits struct {
		SpO2Low      Num `json:"spo2LowPercent,omitempty"`
		SpO2High     Num `json:"spo2HighPercent,omitempty"`
		HeartLow     Num `json:"heartRateLowBpm,omitempty"`
		HeartHigh    Num `json:"heartRateHighBpm,omitempty"`
		OxygenLow    Num `json:"oxygenLowPercent,omitempty"`
		OxygenHigh   Num `json:"oxygenHighPercent,omitempty"`
		PressureLow  Num `json:"pressureLowCmH2O,omitempty"`
		PressureHigh Num `json:"pressureHighCmH2O,omitempty"`
	}
	safety struct {
		Items []safetyItem `json:"items"`
	}
	safetyItem struct {
		Item string `json:"item"`
		OK   bool   `json:"ok"`
	}
	episode struct {
		Signs           []string `json:"signs"`
		Seconds         Num      `json:"seconds,omitempty"`
		LowestSpO2      Num      `json:"lowestSpo2Percent,omitempty"`
		LowestHeartRate Num      `json:"lowestHeartRateBpm,omitempty"`
		During          string   `json:"during,omitempty"`
		Recovered       string   `json:"recovered"`
	}
	nasal struct {
		Type   string `json:"type"`
		Size   string `json:"size,omitempty"`
		Fit    string `json:"fit,omitempty"`
		Clear  *bool  `json:"clear,omitempty"`
		Reason string `json:"reason,omitempty"`
	}
	setup struct {
		Steps         []step   `json:"steps"`
		Around        []string `json:"around,omitempty"`
		ProbeOutside  bool     `json:"probeOutside,omitempty"`
		ProbeShielded bool     `json:"probeShielded,omitempty"`
	}
	step struct {
		Step string `json:"step"`
		Done bool   `json:"done"`
	}
	calibration struct {
		Points []gasPoint `json:"points"`
		Flows  []Num      `json:"flows,omitempty"`
	}
	gasPoint struct {
		Gas  Num `json:"gasPercent"`
		Read Num `json:"readPercent"`
	}
	seal struct {
		Held     bool `json:"held"`
		Pressure Num  `json:"pressureCmH2O,omitempty"`
	}
	humidifier struct {
		State   string `json:"state,omitempty"`
		Chamber Num    `json:"chamberC,omitempty"`
		Water   string `json:"water,omitempty"`
		WaterMl Num    `json:"waterMl,omitempty"`
	}
	circuit struct {
		Action string `json:"action"`
	}
	alarm struct {
		About     string  `json:"about"`
		Tried     []cause `json:"tried,omitempty"`
		Action    string  `json:"action,omitempty"`
		SettledAt string  `json:"settledAt,omitempty"`
	}
	cause struct {
		Cause string `json:"cause"`
		Found bool   `json:"found"`
	}
)

// Skin, tube, head.
type (
	skin struct {
		Sites []site `json:"sites"`
	}
	site struct {
		Site         string   `json:"site"`
		Finding      string   `json:"finding"`
		Also         []string `json:"also,omitempty"`
		UnderBarrier bool     `json:"underBarrier,omitempty"`
		Action       string   `json:"action,omitempty"`
		Note         string   `json:"note,omitempty"`
	}
	tube struct {
		Action   string `json:"action"`
		Use      string `json:"use,omitempty"`
		Route    string `json:"route,omitempty"`
		SizeFr   Num    `json:"sizeFr,omitempty"`
		MarkCm   Num    `json:"markCm,omitempty"`
		PH       Num    `json:"ph,omitempty"`
		Aspirate string `json:"aspirate,omitempty"`
		Amount   Num    `json:"aspirateMl,omitempty"`
		Look     string `json:"aspirateLook,omitempty"`
		XRay     bool   `json:"xray,omitempty"`
	}
	head struct {
		Circumference Num    `json:"circumferenceCm"`
		Unreliable    string `json:"unreliable,omitempty"`
	}
	weight struct {
		WeightG Num `json:"weightG"`
	}
	bonnet struct {
		Action string `json:"action"`
		Size   string `json:"size,omitempty"`
	}
	care struct {
		What   string `json:"what"`
		Amount string `json:"amount,omitempty"`
		Look   string `json:"look,omitempty"`
		Side   string `json:"side,omitempty"`
		State  string `json:"state,omitempty"`
		Text   string `json:"text,omitempty"`
	}
)

// Words, plans, handing over.
type (
	note struct {
		Text    string `json:"text"`
		ReadOut bool   `json:"readOut,omitempty"`
	}
	told struct {
		Whom   string `json:"whom"`
		About  string `json:"about"`
		Answer string `json:"answer,omitempty"`
	}
	task struct {
		Text  string `json:"text"`
		DueAt string `json:"dueAt,omitempty"`
	}
	taskDone struct {
		Task string `json:"task"`
	}
	plan struct {
		What   string `json:"what"`
		Care   string `json:"care,omitempty"`
		Every  string `json:"every"`
		Until  string `json:"until,omitempty"`
		Reason string `json:"reason"`
	}
	deferral struct {
		What   string `json:"what"`
		Care   string `json:"care,omitempty"`
		Task   string `json:"task,omitempty"`
		Until  string `json:"until"`
		Reason string `json:"reason"`
	}
	outlook struct {
		Severity string   `json:"severity,omitempty"`
		IfThen   []ifThen `json:"ifThen,omitempty"`
		CallFor  string   `json:"callFor,omitempty"`
	}
	ifThen struct {
		If   string `json:"if"`
		Then string `json:"then"`
	}
	signature struct {
		To      string   `json:"to"`
		AsOf    string   `json:"asOf"`
		Infants []string `json:"infants"`
		Cover   bool     `json:"cover,omitempty"`
	}
	acceptance struct {
		Handover  string              `json:"handover"`
		Infants   []string            `json:"infants"`
		Confirmed map[string][]string `json:"confirmed,omitempty"` // written in the order of keys
		ReadBack  bool                `json:"readBack,omitempty"`
		Asked     string              `json:"asked,omitempty"`
	}
	correction struct {
		Of     string          `json:"of"`
		Reason string          `json:"reason"`
		Entry  json.RawMessage `json:"entry"`
	}
	retraction struct {
		Of      string `json:"of"`
		Reason  string `json:"reason"`
		MovedTo string `json:"movedTo,omitempty"`
	}
)

func (admission) kind() string    { return "admission" }
func (identity) kind() string     { return "identity" }
func (move) kind() string         { return "move" }
func (discharge) kind() string    { return "discharge" }
func (support) kind() string      { return "support" }
func (settings) kind() string     { return "settings" }
func (observations) kind() string { return "observations" }
func (bloodGas) kind() string     { return "gas" }
func (limits) kind() string       { return "limits" }
func (safety) kind() string       { return "safety" }
func (told) kind() string         { return "told" }
func (episode) kind() string      { return "episode" }
func (nasal) kind() string        { return "interface" }
func (setup) kind() string        { return "setup" }
func (calibration) kind() string  { return "calibration" }
func (seal) kind() string         { return "seal" }
func (humidifier) kind() string   { return "humidifier" }
func (circuit) kind() string      { return "circuit" }
func (alarm) kind() string        { return "alarm" }
func (skin) kind() string         { return "skin" }
func (tube) kind() string         { return "tube" }
func (head) kind() string         { return "head" }
func (weight) kind() string       { return "weight" }
func (bonnet) kind() string       { return "bonnet" }
func (care) kind() string         { return "care" }
func (note) kind() string         { return "note" }
func (task) kind() string         { return "task" }
func (taskDone) kind() string     { return "task-done" }
func (plan) kind() string         { return "plan" }
func (deferral) kind() string     { return "deferral" }
func (outlook) kind() string      { return "outlook" }
func (signature) kind() string    { return "handover" }
func (acceptance) kind() string   { return "acceptance" }
func (correction) kind() string   { return "correction" }
func (retraction) kind() string   { return "retraction" }
