// Package protocol holds what is to be done at the bench: a procedure of timed stages, with everything it needs to be
// walked through, scaled and worked up. It knows no clock, no run and no screen.
//
// A protocol is read from a TOML file (format 1) by Load, which checks it once and reports every fault at once, in file
// order, as *SyntaxError values. After that a Protocol is immutable and safe to share.
//
// # The file
//
//	format = 1
//
//	[protocol]              id (the file's name without .toml), title, version, purpose, references = [ … ]
//
//	[instrument.NAME]       title, unit, checked (a date, for the record); how far its readings are trusted:
//	                        step: the smallest it shows; tolerance: a half-width, anew in each reading; u (with dof): anew
//	                        too, a standard deviation such as a balance's repeatability; offset: a half-width that all its
//	                        readings share, gone from a difference; gain = "0.04 %": shared too, in proportion to the reading
//	                        in unit (a check mass that may be off), so it stays in a difference; graduation: the class limit
//	                        of glass with marks, which stays too
//
//	[resource.NAME]         title, places = 4: what vessels share, and how many it serves at a time (one where places is not there);
//	                        with_hands = true: held only while the hands are at it
//
//	[profile.NAME]          title, source, acids = { "C16:0" = 4.5, … }: a fatty-acid composition in percent;
//	                        tolerance = "1 %": how far each acid may be off, in percent of all acids; without it none is
//
//	[[given]]               id, title, kind = number (default) | choice | text
//	                        number: value = "30 mL", between = [ "10 mL", "250 mL" ]; u, tolerance or triangular; dof; source
//	                        choice: choices = [ … ] (rows of a reference table, profiles, or plain words), value
//	                        per_vessel = true lets each vessel have its own, and what it is uncertain by is its own too
//
//	[[amount]]              id, title, formula, unit, round_to = "0.5 mL", at_most = "100 mL" (what it must fit into), say
//
//	[[content]]             title, parts = { ethanol = 97.3, KOH = 2.1 } (percent by mass), statement, say, from, until:
//	                        what a vessel or bottle holds, from the first to the last stage that has it on the bench; none:
//	                        the whole run. Its hazard statements follow from the parts by the simple rules, an orientation;
//	                        statement = "H225" or a list of codes adds what a safety data sheet says
//
//	[[caution]]             say, applies = [ stages ]; none: the whole run
//
//	[[stage]]               id, title, say
//	  portions = 3          the stage is done so many times over; shares = [ … ] when the portions differ in size
//	  steps = [ "…", { say = "…", portion = 1 } ]   one thing the hands do each; portion: only with that one
//	  hands = "2 min"       or { at_least, aim, at_most }: the time the operator is busy with the steps
//	  clock = { at_least = "40 min", aim = "45 min", at_most = "60 min" }   the timed wait
//	  remind = { every = "3 min", say = "Swirl", takes = "20 s", from = "0 min", until = "12 min", reading = "id" } or a list
//	  ready = "last(oil_temperature) >= gate"       a condition for going on; ready_say tells it in words
//	  interlock = { holds = "burner_cold", say = "…" }   the only thing that blocks: the stage is not entered unless it holds
//	                        since = "put_out", at_least = "10 min": nor before so long, a quantity or a formula, has gone since
//	                        that mark was last set in any vessel of the run
//	  uses = [ "balance" ]  resources that are held meanwhile, each declared above
//	  attended = true       the operator stays for the whole of it
//	  live = [ { say = "Settled", moment = "…" }, { say = "To come", formula = "…", unit = "mL" } ]   shown while it goes on,
//	                        as soon as the readings so far give it a value; a moment is a time since the run began;
//	                        { say = "Given", sum = "portion_added", of = "…" } adds up what a reading has in each portion
//	                        so far, of: what it is to come to, a quantity or a formula
//	  pause = "…"           the work may rest here: what to do before going away
//
//	  [[stage.reading]]     id, title, kind = number | series | mark | stopwatch | choice | text | tick, unit, instrument,
//	                        expect = [ low, high ], needed = true, choices = [ … ], say
//	                        rate = [ "-1 K/min", "6 K/min" ]: the lowest and the highest rate at which a series is expected to
//	                        change; a point that is further from the one before it is asked about, even within expect
//	                        points = 5: how many points a needed series must have at least
//	                        aim = "54 Cel": the value that a series is to reach, a quantity or a formula; its curve shows it
//	                        fill = "10 mL": what one fill of a pipette or burette holds, a quantity or a formula; a reading of
//	                        more is the sum of as many, each as uncertain as its instrument makes one
//	                        shared = true: taken once, it serves every vessel of the run
//	                        step = 2 (with which step; default the last), or when = "wait" | "end"
//	                        portion = 3: only with that portion, and then a single value
//	                        record = "why": what it is kept for, where nothing uses it; a given may say so too
//
//	[[guard]]               id, holds (a formula), say; speaks when its last reading arrives and it does not hold
//	[[result]]              id, title, formula, unit, of = "vessel" (default) | "run", say
//	[[verdict]]             result, when, say: what the result cannot show, said beside it while the condition holds
//	[[check]]               result, between = [ low, high ] or at_least or at_most, source, say
//
// Quantities are texts with a UCUM unit ("0.5 mL"); widths and steps of a temperature are intervals in K. The limits of
// expect, of rate and of a check are quantities or formulas, those of a given's between are quantities; "" leaves an
// end open. The expect of a reading in a stage with portions may be a list, one limit for each portion. What stands in
// a stage may use readings of that stage and earlier ones, and results that need no later reading. Every say, step and
// pause may name a given, an amount or an earlier reading in braces: {portion_volume}; {{ stands for a brace. A title
// is shown as it stands; where there is none, the id is. Ids that formulas can name have small letters, digits and _
// only; those of a protocol, stage, instrument or guard may have a - too.
//
// A given or a reading is used when a formula names it (of an amount, a limit, a condition, a figure, a guard, a
// result), a text does, a reminder asks for it, or a live sum adds it up. One that nothing uses is a warning
// (Protocol.Warnings) unless it says record; a given with per_vessel, of which vessels are compared, a text and a tick
// need not.
//
// # How a stage runs
//
// A stage with steps and hands has a hands phase: its steps are done one by one, each with its readings. A stage with a
// clock has a wait phase, which begins when the hands are done, or at once where there are none; series readings and
// reminders belong to it. Readings with when = "end" follow the wait. With portions the whole is done once for each,
// and the clock runs between portions and not after the last one, unless wait_last = true. A stage with neither clock
// nor hands ends as soon as its steps and readings are done. A stage with a clock and no hands time has its steps done
// while the clock runs. A hands phase without steps has one: the stage's title.
//
// # Names in formulas
//
// Givens, amounts, readings and (earlier) results by id; STAGE.shares is the list of a stage's portion shares. A
// reading in a stage with portions is a list with a value for each portion; a mark is the time since the run began, in
// min; a tick is yes or no; a stopwatch is in s. Amounts may name givens and amounts only. A profile's name stands for
// its composition. A result of a vessel may use earlier results of the run, and a result of the run takes what differs
// from vessel to vessel through across(…) only.
package protocol
