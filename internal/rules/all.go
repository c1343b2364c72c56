// Package rules is everything the checker asks of a recipe, one rule a file,
// and the explicit list of them. A rule looks at the recipe and its plan and
// says what it finds; it keeps nothing between two recipes.
package rules

import (
	"slices"

	"coldwright/internal/check"
)

// All are the rules in the order they are run and listed: what hurts people,
// what spoils the piece, missing tests, steps in grade, the card itself, and
// last the rules that are kept while a file is read.
var All = slices.Concat(
	safetyRules,
	[]check.Rule{
		waterNotStated,
		machineNotStated,
		rimSpeed,
		crackedWorked,
		moreThanHands,

		surfaceNotStated,
		abrasiveNotStated,
		gradeGoesBackwards,
		damageNotCleared,
		shinesButPitsLeft,
		ceriumOnCoarse,
		polishOnHardLap,
		abrasiveTooSoft,
		looseGrainNeedsMedium,
		mixDoesNotSuit,
		oneMedium,
		mediumShared,
		noCleanDown,
		backToDirtier,
		machineReach,
		mediumReach,
		mediumFitsMachine,
		mouldSkin,
		noSeamFirst,
		stubLeftLate,
		cutDeeperThanWall,
		lonePiece,
		blastPressure,
		stockRetired,
		maskedWorked,
		protectedWorked,
		coatedWorked,
		coatingBareBeside,
		finishedLeftOpen,
		polishRunsOver,
		driesInTexture,
		sealedAndPolished,
		leavesUnwashed,
		finishNotReached,
		workAfterStop,
		tileContradictsStop,

		noCheckpoint,
		timeInPlaceOfTest,
		returnGoesOn,
		returnTooFine,
		noWayBack,
		testMadeWet,
		markerNotDried,

		twoChoices,
		anotherGradeTold,
		stockWorn,
		stockLeft,
		houseGradeStep,
		padWorn,
		minutesFarOff,
		minutesTooFew,
		longerThanADay,
		chargeNeverDue,
		sizeDoesNotFit,
		prepolishWouldSave,
		sameSizeTwice,

		surfaceNeverWorked,
		maskedToTheEnd,
		betterVariantRule,
		identityIncomplete,
		changeRecord,
		anotherRevisionTold,
		reviewPast,
		unknownRecipe,
		repeatedID,
	},
	formatRules,
)
