package rules

import "coldwright/internal/check"

// safetyRules are the rules that protect people, in the order they are run and
// listed: the four refusals with what stands close to them, then the notes a
// recipe must carry, then the lesser ones that only warn.
var safetyRules = append([]check.Rule{
	acidNamed,
	sandAsBlastMedia,
	dryWorkOnLead,
	wheelOverSpeed,
	unnamedCleaner,
	slagAsBlastMedia,
	blastOnLead,
	dryWhereWet,
	cautionContradicted,
	anotherGlassTold,
}, needRules()...)

// needs are the notes a recipe must carry, in the order of what they protect
// from: dust, lead, water and power, what turns, the piece itself.
var needs = []need{
	dryDust, dryPowder, mouldResidue, sweeping,
	leadGlass, leadSlurry, leadAndAcid, slurryToDrain,
	powerNearWater, wetPowerTool, unplugToChange,
	rotatingSpindle, heldCloth, wheelCheck, restAndGuard, runUp, spinDry, beltNip,
	blastCabinet, eyesCovered, loudMachine, sharpArris, heavyPiece, keepWet, tankWater, acidSoak, gritCarryOver,
	strain, thinWare, laserTest, oilyRags, sawAndDrill, runningAlone, wetHands, handVibration, leadAndYou,
	thrownPiece, wetFloor, labelThePot, freshCut, loneWork, visitors,
}

func needRules() []check.Rule {
	rules := make([]check.Rule, len(needs))
	for i, n := range needs {
		rules[i] = n.ready()
	}
	return rules
}
