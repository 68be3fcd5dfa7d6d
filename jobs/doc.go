// Package jobs is the timetable: what the shop does by itself each night, in its own time zone. Every run is a row that is claimed before
// it begins, so that none runs twice for one day, be it by two servers on one database or because a clock was set back; and one that was
// missed while the machine was off runs at the next start.
//
// robfig/cron is imported here alone. Its specs are made of numbers that were checked, never of text: some specs panic its parser
// (robfig/cron issues 470 and 554), and a job set in an hour that daylight saving skips is not run (issue 541), so nothing is set between 02:00
// and 03:00, and what is due is worked out from the clock and not from cron having called.
package jobs
