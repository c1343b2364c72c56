package wear

import (
	"errors"
	"fmt"
	"math"
)

// Limits of what the model is asked: far beyond any shop, near enough that
// every answer is a number.
const (
	LeastGrainUM = 0.01
	MostGrainUM  = 1e4
	// MostMinutes is close to two years. Minutes beyond it never come.
	MostMinutes = 1e6
	// MostDepthUM is a metre.
	MostDepthUM = 1e6
)

// InputError says which input cannot be reckoned with, and why.
type InputError struct {
	// Field is the field of Step, Tool, Glass or State, or the name of a constant.
	Field string
	Value float64
	Why   string
}

// Error is the field, its value and why.
func (e *InputError) Error() string { return fmt.Sprintf("%s (%g) %s", e.Field, e.Value, e.Why) }

// What a lap cannot do with a powder, whatever the glass.
var (
	ErrPumiceLap = errors.New("pumice cuts on felt, pad, cork or brush only: on a hard lap or pitch it does nothing but wear out")
	ErrCeriumLap = errors.New("cerium oxide polishes on a lap that gives: on a hard lap it does nothing")
)

// between refuses a number that is no number or out of its limits.
func between(field string, v, least, most float64) error {
	switch {
	case math.IsNaN(v) || v > most:
		return &InputError{Field: field, Value: v, Why: fmt.Sprintf("must be a number up to %g", most)}
	case v < least && v <= 0 && least > 0:
		return &InputError{Field: field, Value: v, Why: "must be above zero"}
	case v < least:
		return &InputError{Field: field, Value: v, Why: fmt.Sprintf("must be at least %g", least)}
	}
	return nil
}

// limit is one thing to hold between.
type limit struct {
	field          string
	v, least, most float64
}

func within(limits ...limit) error {
	for _, l := range limits {
		if err := between(l.field, l.v, l.least, l.most); err != nil {
			return err
		}
	}
	return nil
}

func (g Glass) check() error {
	return within(
		limit{"EGPa", g.EGPa, 10, 500},
		limit{"HGPa", g.HGPa, 1, 50},
		limit{"KcMPaSqrtM", g.KcMPaSqrtM, 0.1, 10},
		limit{"PolishFactor", g.PolishFactor, 0.05, 20},
	)
}

// check refuses a tool that is none and a powder on a lap it cannot work on.
func (t Tool) check() error {
	switch {
	case t.Family < Diamond || t.Family >= families:
		return &InputError{Field: "Family", Value: float64(t.Family), Why: "is no family of abrasive"}
	case t.Bond < Loose || t.Bond >= bonds:
		return &InputError{Field: "Bond", Value: float64(t.Bond), Why: "is no bond"}
	case t.Lap < NoLap || t.Lap >= laps:
		return &InputError{Field: "Lap", Value: float64(t.Lap), Why: "is no lap class"}
	case t.Bond == Loose && t.Lap == NoLap:
		return &InputError{Field: "Lap", Why: "must be given for loose grain"}
	}
	if err := between("GrainUM", t.GrainUM, LeastGrainUM, MostGrainUM); err != nil {
		return err
	}
	if t.ActsLikeUM != 0 {
		if t.Family == Pumice || t.Family == Cerium {
			return &InputError{Field: "ActsLikeUM", Value: t.ActsLikeUM, Why: "has no meaning for pumice and cerium oxide, whose grain does not compare by size"}
		}
		if err := between("ActsLikeUM", t.ActsLikeUM, LeastGrainUM, MostGrainUM); err != nil {
			return err
		}
	}
	if t.RogueUM != 0 {
		if err := between("RogueUM", t.RogueUM, LeastGrainUM, MostGrainUM); err != nil {
			return err
		}
	}
	if t.Bond == Loose && t.Family == Pumice && (t.Lap == HardLap || t.Lap == Pitch) {
		return ErrPumiceLap
	}
	if t.Bond == Loose && t.Family == Cerium && t.Lap == HardLap {
		return ErrCeriumLap
	}
	return nil
}

// Check refuses a state no face can be in.
func (s State) Check() error {
	if err := within(
		limit{"DLowUM", s.DLowUM, 0, MostDepthUM},
		limit{"DUM", s.DUM, 0, MostDepthUM},
		limit{"DHighUM", s.DHighUM, 0, MostDepthUM},
		limit{"RtUM", s.RtUM, 0, MostDepthUM},
		limit{"StockUM", s.StockUM, 0, MostDepthUM},
	); err != nil {
		return err
	}
	if s.DLowUM > s.DUM || s.DUM > s.DHighUM {
		return &InputError{Field: "DUM", Value: s.DUM, Why: "must lie between the low and the high damage"}
	}
	return nil
}

// Check refuses a step that cannot be reckoned. ErrPumiceLap and ErrCeriumLap
// say what a powder cannot do; everything else is an *InputError.
func (s Step) Check() error {
	if err := s.Tool.check(); err != nil {
		return err
	}
	if err := s.Glass.check(); err != nil {
		return err
	}
	if s.GlassForRates != (Glass{}) {
		if err := s.GlassForRates.check(); err != nil {
			return err
		}
	}
	if err := within(
		limit{"ForceN", s.ForceN, 1e-6, 1e6},
		limit{"AreaM2", s.AreaM2, 1e-9, 1e4},
		limit{"SpeedMS", s.SpeedMS, 1e-6, 1e3},
		limit{"Load", s.Load, 1e-9, 1e12},
		limit{"Minutes", s.Minutes, 0, MostMinutes},
	); err != nil {
		return err
	}
	// These may be left out.
	for _, f := range []limit{
		{"House.RateFactor", s.House.RateFactor, 1e-4, 1e4},
		{"House.DamageFactor", s.House.DamageFactor, 1e-4, 1e4},
		{"House.BreakdownJM2", s.House.BreakdownJM2, 1, 1e12},
		{"ChargeEveryMin", s.ChargeEveryMin, 1e-3, MostMinutes},
		{"RunDownMin", s.RunDownMin, 1e-3, MostMinutes},
		{"LapAreaM2", s.LapAreaM2, 1e-9, 1e4},
	} {
		if f.v == 0 {
			continue
		}
		if err := within(f); err != nil {
			return err
		}
	}
	switch {
	case s.RunDownMin != 0 && s.ChargeEveryMin == 0:
		return &InputError{Field: "RunDownMin", Value: s.RunDownMin, Why: "asks for a charge interval"}
	case s.Tool.crushed() && s.LapAreaM2 == 0:
		return &InputError{Field: "LapAreaM2", Why: "must be given for loose grain that breaks down"}
	}
	return nil
}
