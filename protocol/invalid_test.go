package protocol

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// invalid holds every message of each file in testdata/invalid, without the file's name. Second blocks of an array,
// inline tables, dotted keys, escapes and texts of several lines are among them; their columns were counted in the files.
var invalid = map[string][]string{
	"amounts.toml": {
		`14:11: amount "a": amounts need one another: a -> b -> c -> a; write a formula that breaks the circle`,
		`29:11: amount "selfish": amounts need one another: selfish -> selfish; write a formula that breaks the circle`,
		`34:12: amount "of_reading": flask is a reading, which comes later: an amount uses givens and amounts only`,
		`39:16: amount "of_result": net is a result, which comes later: an amount uses givens and amounts only`,
		`44:11: amount "in_ml": formula = "oil * 2" gives g, which does not fit mL; write a formula in mL, or the unit "g"`,
		`49:11: amount "volume": formula = "oil * 2" gives g, which does not fit mL; write a formula in mL, or the unit "g"`,
		`51:12: amount "volume": round_to = "0.5 g" does not fit mL; write a quantity in mL`,
		`57:12: amount "rounded": round_to is zero; write the smallest step that can be measured out`,
		`58:11: amount "rounded": at_most: "3 mL" does not fit g; write a quantity in g`,
	},
	"cramped.toml": {
		`8:20: brackets are nested more than 12 deep`,
	},
	"crlf.toml": {
		`13:6: stage "one": say: {nothing} is no given, amount or reading`,
		`15:1: unknown key "hand" in stage "one"; write hands`,
	},
	"empty.toml": {
		`1:1: the file does not say its format; write format = 1`,
		`1:1: the block [protocol] is missing; write [protocol] with id, title and version`,
		`1:1: the protocol has no stage; write [[stage]] with id = "…" and title = "…"`,
	},
	"file_name.toml": {
		`4:6: [protocol]: id = "another" is not the name of the file, "file_name.toml"; write id = "file_name"`,
	},
	"formulas.toml": {
		`16:9: stage "charge": ready = "flask" gives a number, not yes or no; write a comparison, such as a < b`,
		`17:24: stage "charge", interlock: flask is read in stage "charge", later than the interlock of stage "charge"`,
		`22:20: reading "flask": later is read in stage "after", later than stage "charge"`,
		`22:32: reading "flask": found the end after "*", expected a name, a number or "("`,
		`27:13: reading "temperature": expect = "oil + flask" gives g, which does not fit Cel; write a formula in Cel, or the unit "g"`,
		`27:28: reading "temperature": expect = "oil / flask" gives a bare number, which does not fit Cel; write a formula in Cel, or the unit "1"`,
		`33:23: stage "after": last(levels) is in mL and 3 is a bare number; ">" needs units that fit; write a given with the value "3 mL" and its name here`,
		`45:9: guard 1: holds = "later - flask" gives a number, not yes or no; write a comparison, such as a < b`,
		`49:9: guard 2: a guard speaks when a reading arrives, and this one looks at none`,
		`56:3: result "second_half": flsk is no given, amount, reading or result; write flask`,
		`61:12: result "own": own is worked out here and cannot use itself`,
		`66:16: result "early": net stands further down: a result uses earlier ones, so move this one below it`,
		`71:11: result "net": formula = "later - flask" gives g, which does not fit mL; write a formula in mL, or the unit "g"`,
		`76:43: result "escaped": flusk is no given, amount, reading or result; write flask`,
		`81:34: result "of_all": flask has a value for each vessel: a result with of = "run" takes across(flask)`,
		`87:17: result "not_of_all": across(later) looks at every vessel; it is only for a result with of = "run"`,
		`92:11: result "spoken": formula = "later > flask" gives yes or no, not a number`,
		`96:10: check 1: there is no result "nett"; write "net"`,
		`100:1: check 2: source is missing; write source = "the standard with its clause, or common practice"`,
		`106:12: check 3: at_least: "2 g" does not fit mL; write a quantity in mL`,
		`110:1: check 4: the check has no limit; write between = [ "low", "high" ], at_least or at_most`,
	},
	"givens.toml": {
		`9:9: profile "short": the fatty acids add up to 50 %; write percentages that add up to 90 to 101 %`,
		`11:1: profile "none": acids is missing; write acids = { "C18:1" = 62.0 } with every acid in percent`,
		`15:8: given "oil": kind = "chioce" is unknown; write kind = "choice"`,
		`21:27: given "alkali": choices: "KOH" stands there twice`,
		`22:9: given "alkali": value = "koh" is none of the choices; write "KOH"`,
		`23:11: given "alkali": between goes with kind = "number", and this is a choice`,
		`25:1: given "acid": choices is missing; write choices = [ "…", "…" ]`,
		`29:1: given "mass": value is missing; write value = "30 mL"`,
		`35:12: given "late": between: 250 g is more than 10 g; write the lower one first`,
		`39:9: given "large": value = "500 g" is more than 250 g; write a value in between`,
		`42:13: given "large": tolerance stands beside u: a given has one of them`,
		`56:9: given "cold": value = "-500 Cel": -500 °C is below absolute zero`,
		`60:9: given "light": value = "-5 g": -5 g is less than nothing: a mass cannot be negative`,
		`64:9: given "past": value = "-3 min": -3 min is less than nothing: a time cannot be negative`,
	},
	"header.toml": {
		`1:10: the file: format = "1" is a text, not a whole number; write format = 1`,
		`4:6: [protocol]: id = "Header 2": an id begins with a small letter and has small letters, digits, _ and -; write "header_2"`,
		`5:9: [protocol]: title = 5 is a number, not a text; write title = "5"`,
		`6:11: [protocol]: version is empty; write version = "1.0"`,
		`7:14: [protocol]: references = "one" is a text, not a list of texts; write references = [ "…" ]`,
	},
	"ids.toml": {
		`8:1: profile "Oil": the name "Oil": an id begins with a small letter and has small letters, digits and _, so that formulas can name it; write "oil"`,
		`12:6: given "Oil mass": id = "Oil mass": an id begins with a small letter and has small letters, digits and _, so that formulas can name it; write "oil_mass"`,
		`16:6: given "if": id = "if" is a word of formulas; write another id`,
		`19:1: given 3: id is missing; write id = "name_of_it"`,
		`33:8: reading "flask": the name "flask" is taken by the amount in line 23; write another name`,
		`37:8: reading "full-flask": id = "full-flask": an id begins with a small letter and has small letters, digits and _, so that formulas can name it; write "full_flask"`,
		`41:6: stage "charge": the id "charge" is taken by an earlier stage; write another id`,
		`51:6: guard "same": the id "same" is taken by an earlier guard; write another id`,
	},
	"interlock.toml": {
		`16:1: stage "one", interlock: since and at_least go together; write since = "the id of a mark", at_least = "10 min"`,
		`20:39: stage "two", interlock: "cold" is no reading of kind mark`,
		`25:57: stage "three", interlock: at_least: "10 g" does not fit min; write a quantity in min`,
	},
	"live.toml": {
		`7:10: resource "balance": places = 0 is out of range; write a number from 1 to 100`,
		`8:1: unknown key "titel" in resource "balance"; write title`,
		`13:10: stage "a", live 1: a live figure has a formula, a moment or a sum; write formula = "…" with a unit, moment = "…", or sum = "…"`,
		`13:48: stage "a", live 2: formula = "last(warm)" gives Cel, which does not fit mL; write a formula in mL, or the unit "Cel"`,
		`13:114: stage "a", live 3: a moment has no unit of its own`,
		`13:121: stage "a", live 4 is a text, not a table; write { say = "…", formula = "…", unit = "…" }`,
		`13:149: stage "a", live 5: moment = "last(warm)" gives Cel, which does not fit min; write a formula in min, or the unit "Cel"`,
		`22:12: reading "late": a shared reading belongs to a step or to a wait, not to the end of a stage`,
	},
	"newer.toml": {
		`1:10: the file: format = 2 is newer than this program, which reads format 1: it takes a newer version of the program`,
	},
	"portions.toml": {
		`12:10: stage "first": 2 shares for 3 portions; write portions = 2, or a share for each portion`,
		`13:36: stage "first", step 1: portion = 4 is out of range; write a number from 1 to 3`,
		`18:13: reading "poured": portion = 0 is out of range; write a number from 1 to 3`,
		`23:10: reading "stirred": step = 3 is out of range; write a number from 1 to 2`,
		`29:10: stage "second": the shares add up to 0.9, not to 1`,
		`37:10: reading "waited": no clock runs after portion 2, so this reading would never be taken; write wait_last = true for the stage, or when = "end"`,
		`42:12: stage "third": portions = 1000 is out of range; write a number from 1 to 100`,
		`43:11: stage "third": a share is a number above 0 and up to 1`,
	},
	"positions.toml": {
		`5:59: given "b": value: the unit "gr" is not a UCUM code: write "g"`,
		`6:20: [protocol]: purpose = 3 is a number, not a text; write purpose = "3"`,
		`11:13: stage "one", clock: aim = "1 min" is longer than at_most = "30 s"; write aim up to at_most`,
		`17:16: stage "two", step 2 is a number, not a text; write "…"`,
		`18:38: stage "two", clock: at_most = "10 kg" is no time; write at_most = "10 min"`,
		`19:1: stage "two", remind: say is missing; write say = "what to do"`,
		`20:1: unknown key "tells" in stage "two", remind: known here are every, say, takes, from, until, reading`,
		`25:16: reading "x": there is no instrument "none"; write [instrument.none] at the top of the file`,
		`29:10: reading "y": the unit "kilo" is not a UCUM code that is known here: see the list of units`,
	},
	"rates.toml": {
		`14:22: stage "a", live 1: "pored" is no reading of this stage with a value for each portion; write sum = "poured"`,
		`15:39: stage "a", live 2: unit stands beside sum, which has the unit of its reading`,
		`16:59: stage "a", live 3: of tells what a sum is to come to, and there is none; write sum = "…"`,
		`17:37: stage "a", live 4: of: "30 g" does not fit mL; write a quantity in mL`,
		`23:11: reading "warm": rate: "-1 K" does not fit K/min; write a quantity in K/min`,
		`28:10: reading "poured": rate goes with kind = "series", and this is a number`,
		`33:11: reading "cooled": rate: 6 K/min is more than -6 K/min; write the lower one first`,
		`38:28: stage "b", live 1: this stage has no reading with a value for each portion`,
	},
	"readings.toml": {
		`16:10: reading "temperature": a series is taken while a clock runs; write kind = "number", or a clock for the stage and when = "wait"`,
		`22:10: reading "done": a mark has no unit of its own`,
		`24:3: reading "look": choices is missing; write choices = [ "…", "…" ]`,
		`27:12: reading "look": a choice is no number, so there is no range to expect`,
		`32:13: reading "colour": choices is empty; write choices = [ "…", "…" ]`,
		`36:10: reading "mass": kind = "numbr" is unknown; write kind = "number"`,
		`42:10: reading "volume": the stage has no clock, so there is no wait to take a reading in; write when = "end"`,
		`43:13: reading "volume": choices goes with kind = "choice", and this is a number`,
		`48:16: reading "time": a tick is taken without an instrument`,
		`50:10: reading "time": when stands beside step: a reading has one of them`,
		`60:9: reading "level": aim goes with kind = "series", and this is a number`,
		`71:9: reading "heat": aim: "54 K" does not fit Cel; write a quantity in Cel`,
		`77:27: reading "cold": 20 * last(cold): a temperature on a scale with its own zero enters no product or quotient: take a difference first`,
	},
	"reminders.toml": {
		`13:13: stage "hold", remind: every = "0 min" is no time at all; write a time of 1 ms or more`,
		`14:3: stage "hold", remind: every is missing; write every = "3 min"`,
		`14:43: stage "hold", remind: until = "5 min" is not after from = "5 min"; write a later time`,
		`15:56: stage "hold", remind: reading = "bath_temp" is no reading of this stage`,
		`27:10: stage "rest": remind belongs to a timed wait, and this stage has no clock; write clock = { aim = "10 min" }`,
		`28:13: stage "rest": wait_last belongs to a timed wait, and this stage has no clock; write clock = { aim = "10 min" }`,
	},
	"resources.toml": {
		`15:10: stage "warm": uses: there is no resource "baht"; write "bath"`,
		`15:26: stage "warm": uses: "bath" stands there twice`,
		`15:34: stage "warm": uses: there is no resource "Rig"; write [resource.rig] at the top of the file`,
	},
	"slips.toml": {
		`6:1: instrument "Balance": the name "Balance": an id begins with a small letter and has small letters, digits, _ and -; write "balance"`,
		`10:6: given "Oil": id = "Oil": an id begins with a small letter and has small letters, digits and _, so that formulas can name it; write "oil"`,
		`12:1: reading stands outside of a stage; write [[stage.reading]] below the [[stage]] that it belongs to`,
		`20:23: amount "c": unobtainium is no substance that molar_mass knows; write one of ethanol, methanol, propan_1_ol, butan_1_ol, propan_2_ol, water, glycerol, KOH, NaOH, KHP, benzoic_acid, citric_acid, sulfuric_acid, hydrochloric_acid, sodium_sulfate, oleic_acid, potassium_oleate, sodium_oleate, carbon_dioxide, iodine, phenolphthalein, triolein, tripalmitin`,
		`24:12: amount "b": there is no function average; write mean`,
		`29:9: stage "s": hands = 5 has no unit; write hands = "5 min" or hands = "5 s"`,
		`30:19: stage "s", step 1: {Oil} is no given, amount or reading; write {oil}`,
		`38:14: reading "y2": there is no instrument "Balance"; write instrument = "balance"`,
	},
	"syntax.toml": {
		`9:10: this is no TOML: basic strings cannot have new lines`,
	},
	"texts.toml": {
		`14:13: content 1: "H999" is no hazard statement that is known here; write a code such as "H225"`,
		`15:8: content 1: from: there is no stage "chrage"; write "charge"`,
		`19:18: content 2: NaOH = 130 is no share in percent; write a number above 0 and up to 100`,
		`19:30: content 2: no substance "sand" in the tables; write one of ethanol, methanol, propan_1_ol, butan_1_ol, propan_2_ol, water, ` +
			`glycerol, KOH, NaOH, KHP, benzoic_acid, citric_acid, sulfuric_acid, hydrochloric_acid, sodium_sulfate, oleic_acid, ` +
			`potassium_oleate, sodium_oleate, carbon_dioxide, iodine, phenolphthalein, triolein, tripalmitin`,
		`21:1: caution 1: the caution says nothing; write say = "…"; hazard statements go with what they are of: [[content]] with title and statement`,
		`22:12: caution 1: applies: there is no stage "chrage"; write "charge"`,
		`26:17: stage "charge": a title is shown as it stands, braces in it are not filled in; write the name in say or in a step`,
		`27:14: stage "charge": say: {oil_mas} is no given, amount or reading; write {oil_mass}`,
		`29:9: stage "charge", step 1: later is read in stage "second", later than stage "charge"`,
		`30:17: stage "charge", step 2: say: the brace before "oil_mass of it" is not closed; write {name}, or {{ for a brace`,
		`31:7: stage "charge", step 3: the braces hold no name; write {name}, or {{ for a brace`,
		`43:10: stage "second", step 1: {nothing} is no given, amount or reading`,
		`48:22: reading "later": say: {flaks} is no given, amount or reading; write {flask}`,
	},
	"twice.toml": {
		`10:1: this is no TOML: Key 'given.id' has already been defined`,
	},
	"types.toml": {
		`10:8: instrument "balance": step = 0.01 has no unit; write step = "0.01 g"`,
		`14:9: stage "dose": title = 7 is a number, not a text; write title = "7"`,
		`15:9: stage "dose": steps = "Pour" is a text, not a list; write steps = [ "…" ]`,
		`16:9: stage "dose": hands = 45 has no unit; write hands = "45 min" or hands = "45 s"`,
		`17:22: stage "dose", clock: at_least = 1.5 has no unit; write at_least = "1.5 min" or at_least = "1.5 s"`,
		`17:33: stage "dose", clock: aim = true is a truth value, not a quantity; write aim = "1 min"`,
		`18:12: stage "dose": attended = "yes" is a text, not true or false; write attended = true`,
		`19:12: stage "dose": portions = 2.5 is a number, not a whole number; write portions = 1`,
		`20:17: stage "dose": uses holds a number, not a text; write "…"`,
		`26:9: stage "mix": hands: "forty seconds" is no number; type digits such as 12.5`,
		`27:9: stage "mix": ready = true is a truth value, not a text; write ready = "…"`,
		`28:13: stage "mix": interlock = "cold" is a text, not a table; write interlock = { holds = "…", say = "…" }`,
	},
	"units.toml": {
		`9:8: instrument "balance": the unit "gr" is not a UCUM code: write "g"`,
		`13:13: instrument "pipette": tolerance = "0.1 g" does not fit mL; write a quantity in mL`,
		`14:8: instrument "pipette": gain = "0.1 mL" does not fit a bare number; write a bare number or a percentage`,
		`18:8: instrument "thermometer": step = "0.1 Cel" is a temperature, and a width is an interval; write step = "0.1 K"`,
		`27:13: given "room": tolerance = "0.5 Cel" is a temperature, and a width is an interval; write tolerance = "0.5 K"`,
		`31:9: given "oil_mass": value = "5 g" is less than 10 g; write a value in between`,
		`32:20: given "oil_mass": between: "250 mL" does not fit g; write a quantity in g`,
		`33:5: given "oil_mass": u = "-0.1 g" is negative; write a positive quantity`,
		`34:7: given "oil_mass": dof is the degrees of freedom, 1 or more, of a u, tolerance or triangular beside it`,
		`49:16: reading "dosed": the instrument "pipette" reads in mL, which does not fit g`,
		`50:13: reading "dosed": expect: "1 mL" does not fit g; write a quantity in g`,
		`55:16: reading "oil_temperature": there is no instrument "termometer"; write instrument = "thermometer"`,
		`56:13: reading "oil_temperature": expect: 30 °C is more than 20 °C; write the lower one first`,
		`61:13: reading "bath": expect: "54 K" does not fit Cel; write a quantity in Cel`,
		`61:27: reading "bath": room * 1: a temperature on a scale with its own zero enters no product or quotient: take a difference first`,
		`63:3: reading "bare": unit is missing; write unit = "g"`,
		`65:12: reading "bare": expect is a list of 1, not of two; write expect = [ "low", "high" ]`,
	},
	"unknown_keys.toml": {
		`8:1: unknown key "stages" in the file, which has stage already`,
		`11:1: unknown key "hand" in stage "dose"; write hands`,
		`12:12: unknown key "says" in stage "dose", step 1; write say`,
		`12:27: unknown key "colour" in stage "dose", step 1: known here are say, portion`,
		`13:26: unknown key "atmost" in stage "dose", clock; write at_most`,
		`18:3: unknown key "expected" in reading "poured"; write expect`,
		`21:1: unknown key "ID" in given 1; write id`,
	},
	"verdicts.toml": {
		`27:1: verdict 1: when is missing; write when = "molar_ratio < 3"`,
		`32:10: verdict 2: there is no result "nett"; write "net"`,
		`38:8: verdict 3: when = "net" gives a number, not yes or no; write a comparison, such as a < b`,
		`39:8: verdict 3: say: {flsk} is no given, amount or reading; write {flask}`,
		`43:13: verdict 4: net is in g and 3 is a bare number; "<" needs units that fit; write a given with the value "3 g" and its name here`,
		`48:9: verdict 5: flask has a value for each vessel: a verdict on a result of the run takes across(flask)`,
		`53:1: unknown key "whn" in verdict 6; write when`,
	},
	"windows.toml": {
		`12:22: stage "first", hands: at_least = "3 min" is longer than aim = "2 min"; write at_least up to aim`,
		`17:38: stage "second", clock: aim = "45 min" is longer than at_most = "0.5 h"; write aim up to at_most`,
		`22:22: stage "third", clock: at_least = "10 min" is longer than at_most = "5 min"; write at_least up to at_most`,
		`28:9: stage "fourth": hands = "-2 min" is negative; write a positive time`,
		`31:7: stage "fourth", clock: aim = "3 g" is no time; write aim = "3 min"`,
		`32:11: stage "fourth", clock: at_most = "800 h" is more than 31 days; write a shorter time`,
		`37:9: stage "fifth": clock says no time; write clock = { aim = "10 min" }`,
	},
}

func TestInvalid(t *testing.T) {
	files, err := filepath.Glob("../testdata/invalid/*.toml")
	if err != nil || len(files) != len(invalid) {
		t.Fatalf("%d files and %d entries in the table (%v)", len(files), len(invalid), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Load(name, text)
		faults, ok := err.(Errors)
		if !ok {
			t.Errorf("%s: got %v, want Errors", name, err)
			continue
		}
		var got, want []string
		for _, f := range faults {
			got = append(got, f.Error())
		}
		for _, w := range invalid[name] {
			want = append(want, name+":"+w)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}
