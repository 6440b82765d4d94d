package acidity_test

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"jarwright/validate/acidity"
)

const workedFolder = "../../testdata/worked/acid/"

func load(t testing.TB) *acidity.Model {
	t.Helper()
	model, err := acidity.Load()
	if err != nil {
		t.Fatal(err)
	}
	return model
}

// worked reads a table of worked figures as rows of column to cell.
func worked(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := os.Open(workedFolder + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 2 {
		t.Fatalf("%s holds no rows", name)
	}
	var table []map[string]string
	for _, cells := range rows[1:] {
		row := map[string]string{}
		for i, column := range rows[0] {
			row[column] = cells[i]
		}
		table = append(table, row)
	}
	return table
}

func number(t testing.TB, cell string) float64 {
	t.Helper()
	value, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

func solve(t testing.TB, model *acidity.Model, mix acidity.Mixture) acidity.Result {
	t.Helper()
	result, err := model.PH(mix)
	if err != nil {
		t.Fatalf("%+v: %v", mix, err)
	}
	return result
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.4f, want %.4f within %g", what, got, want, tolerance)
	}
}

func electrolyte(t testing.TB, row map[string]string) acidity.Mixture {
	mix := acidity.Mixture{
		WaterKg:            1,
		SodiumChlorideMol:  number(t, row["nacl_mol_kgw"]),
		SodiumMol:          number(t, row["strong_base_mol_kgw"]),
		CalciumChlorideMol: number(t, row["cacl2_mol_kgw"]),
	}
	mix.Acids[acidity.Acetic] = number(t, row["acetic_mol_kgw"])
	mix.Acids[acidity.Citric] = number(t, row["citric_mol_kgw"])
	return mix
}

// Every row of the table, with the activity law that the database itself used for it: Davies, and for citrate the limiting
// law. Source: PHREEQC 3 with minteq.v4.
func TestAgainstPHREEQCWithItsOwnLaws(t *testing.T) {
	model := load(t).WithLimitingLaw(acidity.Citric)
	for _, row := range worked(t, "equilibrium_check.csv") {
		near(t, row["case"]+" pH", solve(t, model, electrolyte(t, row)).PH, number(t, row["pH"]), 0.03)
	}
}

// citricInSalt is the one row of the check table that Davies activities cannot meet; see TestCitrateRowOfThePHREEQCTable.
const citricInSalt = "citric 0.03 + acetic 0.10 + NaCl 0.3 + base 0.04"

// Source: PHREEQC 3 (US Geological Survey) with its database minteq.v4, one line a solution.
func TestAgainstPHREEQC(t *testing.T) {
	model := load(t)
	for _, row := range worked(t, "equilibrium_check.csv") {
		if row["case"] == citricInSalt {
			continue
		}
		result := solve(t, model, electrolyte(t, row))
		tolerance := 0.03
		if number(t, row["citric_mol_kgw"]) == 0 {
			tolerance = 0.001
		}
		near(t, row["case"]+" pH", result.PH, number(t, row["pH"]), tolerance)
		near(t, row["case"]+" ionic strength", result.IonicStrength, number(t, row["ionic_strength"]), 0.0005)
	}
}

// The citrate rows of the PHREEQC table were not computed with Davies activities. In minteq.v4.dat the citrate species
// carry "-gamma 0 0", ion size zero, which turns the extended Debye-Hueckel equation into the limiting law; at the 0.35
// mol/kg of the last row that law makes citric acid far too strong. The second solver meets the three rows (to 0.001,
// 0.001 and 0.011) when citrate obeys the limiting law, and the package when it obeys Davies, so the 0.19 pH between them
// is the choice of law and nothing else. Davies is kept: it gives the measured constants of citric acid at 0.1 mol/kg
// (2.87, 4.35, 5.69; from memory, after Martell & Smith) to 0.07 where the limiting law is off by 0.2 and more in the
// second and third, and its pH is the higher, safer one.
func TestCitrateRowOfThePHREEQCTable(t *testing.T) {
	model := load(t)
	pairs := []species{ // minteq.v4.dat of PHREEQC 3, Na+ with citrate, SCD 2.62
		{sodium: 1, logBeta: 1.03}, {sodium: 2, logBeta: 1.5}, {sodium: 1, protons: 1, logBeta: 6.45},
	}
	found := false
	for _, row := range worked(t, "equilibrium_check.csv") {
		if number(t, row["citric_mol_kgw"]) == 0 {
			continue
		}
		found = found || row["case"] == citricInSalt
		mix := electrolyte(t, row)
		brute := bruteOf(mix, davies)
		citrate := &brute.anions[acidity.Citric]
		pH, _ := brute.solve()
		near(t, row["case"]+", Davies", solve(t, model, mix).PH, pH, 1e-6)
		citrate.species = append(citrate.species, pairs...)
		pH, _ = brute.solve()
		near(t, row["case"]+", Davies, what the sodium citrate pairs would add", solve(t, model, mix).PH, pH, 0.012)
		citrate.law = limitingLaw
		pH, ionic := brute.solve()
		tolerance := 0.001
		if row["case"] == citricInSalt {
			tolerance = 0.011
		}
		near(t, row["case"]+", limiting law", pH, number(t, row["pH"]), tolerance)
		near(t, row["case"]+", limiting law, ionic strength", ionic, number(t, row["ionic_strength"]), 0.001)
	}
	if !found {
		t.Errorf("the row %q is gone", citricInSalt)
	}

	stoichiometric := []float64{2.87, 4.35, 5.69} // from memory, 25 C, I = 0.1
	for step, thermodynamic := range []float64{3.128, 4.761, 6.396} {
		shift := func(law activityLaw) float64 { return law(0.1, 1) + law(0.1, step+1) - law(0.1, step) }
		near(t, "Davies constant at 0.1 mol/kg", thermodynamic+shift(davies), stoichiometric[step], 0.07)
		if off := math.Abs(thermodynamic + shift(limitingLaw) - stoichiometric[step]); step > 0 && off < 0.2 {
			t.Errorf("limiting law step %d is only %.2f off; the reason given for leaving it no longer holds", step+1, off)
		}
	}
}

// Source: acid-derived-figures, solved apart from this program with pKa 4.757.
func TestPureAceticAcid(t *testing.T) {
	model := load(t)
	for _, row := range worked(t, "acetic_solutions.csv") {
		mix := acidity.Mixture{WaterKg: 1}
		mix.Acids[acidity.Acetic] = number(t, row["acetic_mol_per_liter"])
		near(t, row["acetic_mol_per_liter"]+" mol/L", solve(t, model, mix).PH, number(t, row["pH"]), 0.01)
	}
	// 2.88 and 3.38: textbook figures, from memory.
	for molar, want := range map[float64]float64{0.1: 2.88, 0.01: 3.38} {
		mix := acidity.Mixture{WaterKg: 1}
		mix.Acids[acidity.Acetic] = molar
		near(t, "acetic acid", solve(t, model, mix).PH, want, 0.02)
	}
}

// Source: acid-derived-figures, charge balance with a straight-line buffer at an ionic strength of 0.3.
func TestConstantBuffer(t *testing.T) {
	model := load(t)
	for _, row := range worked(t, "constant_buffer.csv") {
		ionic := number(t, row["ionic_strength"])
		mix := acidity.Mixture{WaterKg: 1, FixedIonicStrength: &ionic, Produce: []acidity.Produce{{
			MassKg: number(t, row["produce_share"]), NaturalPH: number(t, row["produce_pH"]),
			BufferMolPerKg: number(t, row["buffer_mmol_kg_pH"]) / 1000,
		}}}
		mix.Acids[acidity.Acetic] = model.Moles(acidity.Acetic, 10*number(t, row["acetic_percent"]))
		near(t, row["acetic_percent"]+" % acetic, buffer "+row["buffer_mmol_kg_pH"], solve(t, model, mix).PH, number(t, row["pH"]), 0.01)
	}
}

// One weak acid without activities is a cubic in [H+]: h^3 + K h^2 - (K C + Kw) h - K Kw = 0, solved here by Newton's
// method from above, where the cubic is convex.
func TestOneWeakAcidAgainstTheCubic(t *testing.T) {
	model := load(t)
	none := 0.0
	kw := math.Pow(10, -13.997)
	for acid, pka := range map[acidity.Acid]float64{acidity.Acetic: 4.757, acidity.Lactic: 3.86} {
		for _, c := range []float64{0, 1e-8, 1e-5, 0.001, 0.1, 1, 5} {
			k := math.Pow(10, -pka)
			h := 1 + k + c
			for range 300 {
				h -= (h*h*h + k*h*h - (k*c+kw)*h - k*kw) / (3*h*h + 2*k*h - (k*c + kw))
			}
			mix := acidity.Mixture{WaterKg: 1, FixedIonicStrength: &none}
			mix.Acids[acid] = c
			near(t, acid.String(), solve(t, model, mix).PH, -math.Log10(h), 1e-7)
		}
	}
}

// Citric, phosphoric, mixed and buffered solutions against the second solver, with and without activities.
func TestAgainstMassAction(t *testing.T) {
	model := load(t)
	cases := map[string]acidity.Mixture{
		"citric":               {Acids: acidity.Acids{acidity.Citric: 0.05}},
		"citric, dilute":       {Acids: acidity.Acids{acidity.Citric: 0.0005}},
		"phosphoric":           {Acids: acidity.Acids{acidity.Phosphoric: 0.02}},
		"malic":                {Acids: acidity.Acids{acidity.Malic: 0.0559}},
		"tartaric and lactic":  {Acids: acidity.Acids{acidity.Tartaric: 0.03, acidity.Lactic: 0.1}},
		"ascorbic":             {Acids: acidity.Acids{acidity.Ascorbic: 0.0426}},
		"monosodium phosphate": {Acids: acidity.Acids{acidity.Phosphoric: 0.1}, SodiumMol: 0.1},
		"sodium citrate":       {Acids: acidity.Acids{acidity.Citric: 0.1}, SodiumMol: 0.3},
		"sodium acetate":       {Acids: acidity.Acids{acidity.Acetic: 0.5}, SodiumMol: 0.5},
		"salted vinegar":       {Acids: acidity.Acids{acidity.Acetic: 0.4}, SodiumChlorideMol: 0.9},
		"calcium chloride":     {Acids: acidity.Acids{acidity.Acetic: 0.2}, CalciumChlorideMol: 0.04, SodiumChlorideMol: 0.3},
		"over the ceiling":     {Acids: acidity.Acids{acidity.Acetic: 0.2}, SodiumChlorideMol: 2, SodiumMol: 0.05},
		"salt beyond the acid": {Acids: acidity.Acids{acidity.Acetic: 0.05}, SodiumChlorideMol: 8, SodiumMol: 0.04},
		"only water":           {},
		"hard water":           {AlkalinityMol: 0.005, Acids: acidity.Acids{acidity.Acetic: 0.02}},
		"all, with produce": {
			Acids:             acidity.Acids{0.2, 0.01, 0.02, 0.03, 0.005, 0.002, 0.001},
			SodiumChlorideMol: 0.3, CalciumChlorideMol: 0.01, AlkalinityMol: 0.003,
			Produce: []acidity.Produce{{MassKg: 0.5, NaturalPH: 5.7, BufferMolPerKg: 0.015}, {MassKg: 0.1, NaturalPH: 3.6, BufferMolPerKg: 0.02}},
		},
	}
	none := 0.0
	for name, mix := range cases {
		mix.WaterKg = 1
		result := solve(t, model, mix)
		pH, ionic := bruteOf(mix, davies).solve()
		near(t, name+" pH", result.PH, pH, 1e-6)
		near(t, name+" ionic strength", result.IonicStrength, ionic, 1e-6)
	}
	for name, mix := range cases {
		mix.WaterKg, mix.FixedIonicStrength = 1, &none
		pH, _ := bruteOf(mix, ideal).solve()
		near(t, name+" without activities", solve(t, model, mix).PH, pH, 1e-6)
	}
}

// The terms that Result shows must balance, and so a reader can add them up by hand.
func TestChargeBalanceAddsUp(t *testing.T) {
	model := load(t)
	mix := acidity.Mixture{
		WaterKg: 2, Acids: acidity.Acids{acidity.Acetic: 0.6, acidity.Citric: 0.02}, SodiumChlorideMol: 0.5,
		CalciumChlorideMol: 0.02, AlkalinityMol: 0.004,
		Produce: []acidity.Produce{{MassKg: 1, NaturalPH: 5.7, BufferMolPerKg: 0.015}},
	}
	r := solve(t, model, mix)
	surplus := r.Hydrogen + r.Sodium + 2*r.Calcium + r.Alkalinity + r.Uptake - r.Hydroxide - r.Chloride
	for _, charge := range r.Anions {
		surplus -= charge
	}
	near(t, "surplus", surplus, 0, 1e-9)
	near(t, "acetic acid in all forms", r.UndissociatedAceticMolPerKg+r.Anions[acidity.Acetic], 0.3, 1e-12)
	near(t, "uptake", r.Uptake, 0.5*0.015*(5.7-r.PH), 1e-12)
	near(t, "activity of hydrogen ion", -math.Log10(r.Hydrogen*r.UnivalentActivity), r.PH, 1e-9)
}

// Source: laboratory method sheet after AOAC 930.35J: vinegar titrates to its label to pH 8.2.
func TestTitratableAcidity(t *testing.T) {
	model := load(t)
	vinegar := acidity.Mixture{WaterKg: 0.95}
	vinegar.Acids[acidity.Acetic] = model.VinegarMoles(1000, 5)
	got, err := model.TitratableMol(vinegar)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "base for a liter of 5 % vinegar", got, 50/60.053, 0.001)

	// Water with bicarbonate alone already lies above the end point.
	if got, err = model.TitratableMol(acidity.Mixture{WaterKg: 1, AlkalinityMol: 0.005}); err != nil || got >= 0 {
		t.Errorf("hard water: %g, %v; want less than zero", got, err)
	}
}

func TestInputsOutOfRange(t *testing.T) {
	model := load(t)
	negative := -1.0
	for name, mix := range map[string]acidity.Mixture{
		"no water":                {},
		"water not a number":      {WaterKg: math.NaN()},
		"endless water":           {WaterKg: math.Inf(1)},
		"negative acid":           {WaterKg: 1, Acids: acidity.Acids{acidity.Citric: -0.1}},
		"acid not a number":       {WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: math.NaN()}},
		"more acid than pure":     {WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 30}},
		"too much salt":           {WaterKg: 1, SodiumChlorideMol: 11},
		"negative calcium":        {WaterKg: 1, CalciumChlorideMol: -1},
		"negative sodium":         {WaterKg: 1, SodiumMol: -1},
		"negative alkalinity":     {WaterKg: 1, AlkalinityMol: -1},
		"negative ionic strength": {WaterKg: 1, FixedIonicStrength: &negative},
		"negative produce":        {WaterKg: 1, Produce: []acidity.Produce{{MassKg: -1, NaturalPH: 6, BufferMolPerKg: 0.01}}},
		"natural pH over 14":      {WaterKg: 1, Produce: []acidity.Produce{{MassKg: 1, NaturalPH: 15, BufferMolPerKg: 0.01}}},
		"buffer not a number":     {WaterKg: 1, Produce: []acidity.Produce{{MassKg: 1, NaturalPH: 6, BufferMolPerKg: math.NaN()}}},
		"lye":                     {WaterKg: 1, SodiumMol: 8},
	} {
		t.Run(name, func(t *testing.T) {
			result, err := model.PH(mix)
			if !errors.Is(err, acidity.ErrOutOfRange) {
				t.Errorf("%v, %v; want ErrOutOfRange", result.PH, err)
			}
			if _, err := model.TitratableMol(mix); !errors.Is(err, acidity.ErrOutOfRange) {
				t.Errorf("titratable: %v; want ErrOutOfRange", err)
			}
		})
	}
	if _, err := model.PH(acidity.Mixture{WaterKg: -1}); !strings.Contains(err.Error(), "water") {
		t.Errorf("the error %q does not name the input", err)
	}
}

func FuzzPH(f *testing.F) {
	model := load(f)
	f.Add(1.0, 0.2, 0.0, 0.0, 0.3, 0.0, 0.0, 0.55, 5.7, 0.015, -1.0)
	f.Add(0.001, 1e-12, 5.0, 0.1, 0.0, 3.0, 0.2, 0.0, 0.0, 0.0, 0.0)
	f.Add(1e9, 1.0, 1.0, 1.0, 1e9, 1e9, 1e9, 1e300, 14.0, 1e-300, 50.0)
	f.Add(1.0, math.MaxFloat64, 0.0, 0.0, math.Inf(1), 0.0, 0.0, 0.0, 0.0, 0.0, math.NaN())
	f.Fuzz(func(t *testing.T, water, acetic, citric, phosphoric, salt, sodium, hardness, mass, natural, buffer, ionic float64) {
		mix := acidity.Mixture{
			WaterKg: water, SodiumChlorideMol: salt, SodiumMol: sodium, CalciumChlorideMol: salt / 10, AlkalinityMol: hardness,
			Acids:   acidity.Acids{acidity.Acetic: acetic, acidity.Citric: citric, acidity.Phosphoric: phosphoric},
			Produce: []acidity.Produce{{MassKg: mass, NaturalPH: natural, BufferMolPerKg: buffer}},
		}
		if ionic >= 0 {
			mix.FixedIonicStrength = &ionic
		}
		result, err := model.PH(mix)
		if err != nil {
			if !errors.Is(err, acidity.ErrOutOfRange) {
				t.Fatalf("unexpected kind of error: %v", err)
			}
			return
		}
		for name, figure := range map[string]float64{
			"pH": result.PH, "ionic strength": result.IonicStrength, "undissociated acetic": result.UndissociatedAceticMolPerKg,
			"hydrogen": result.Hydrogen, "hydroxide": result.Hydroxide, "uptake": result.Uptake,
		} {
			if math.IsNaN(figure) || math.IsInf(figure, 0) {
				t.Fatalf("%s is %v for %+v", name, figure, mix)
			}
		}
		if result.PH <= 0 || result.PH >= 14 {
			t.Fatalf("pH %v for %+v", result.PH, mix)
		}
		surplus := result.Hydrogen + result.Sodium + 2*result.Calcium + result.Alkalinity + result.Uptake - result.Hydroxide - result.Chloride
		for _, charge := range result.Anions {
			surplus -= charge
		}
		if math.Abs(surplus) > 1e-6 {
			t.Fatalf("charges are out by %g for %+v", surplus, mix)
		}
	})
}

// jar is a full kitchen case: vinegar, citric acid, salt, firming agent, hard water and three foods.
func jar() acidity.Mixture {
	return acidity.Mixture{
		WaterKg: 0.9, Acids: acidity.Acids{acidity.Acetic: 0.18, acidity.Citric: 0.01}, SodiumChlorideMol: 0.3,
		CalciumChlorideMol: 0.01, AlkalinityMol: 0.002,
		Produce: []acidity.Produce{
			{MassKg: 0.5, NaturalPH: 5.6, BufferMolPerKg: 0.015},
			{MassKg: 0.05, NaturalPH: 6, BufferMolPerKg: 0.025},
			{MassKg: 0.02, NaturalPH: 4.2, BufferMolPerKg: 0.018},
		},
	}
}

func TestSolveAllocatesNothing(t *testing.T) {
	model, mix := load(t), jar()
	if allocations := testing.AllocsPerRun(100, func() { _, _ = model.PH(mix) }); allocations != 0 {
		t.Errorf("one solve allocates %v times", allocations)
	}
}

// BenchmarkPH has a budget of 10 microseconds and no allocation.
func BenchmarkPH(b *testing.B) {
	model, mix := load(b), jar()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := model.PH(mix); err != nil {
			b.Fatal(err)
		}
	}
}
