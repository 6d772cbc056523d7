"""What a recipient is told of a gap: sentences of this room's own, which can't tell of papers outside the purpose."""

from quietus.model.findings import Code, Mark

SAYS = {
    Code.MISSING_JURISDICTION: "Nothing is on file for this jurisdiction.",
    Code.MISSING_PAPER: "The paper is not on file.",
    Code.NO_OFFICE_MARK: "The paper on file carries no mark of the office, and is not shown.",
    Code.FINAL_BOX_EMPTY: "The return on file is not marked final, and is not shown.",
    Code.CLEARANCE_MISSING: "The clearance is not on file.",
    Code.CLEARANCE_EXPIRED: "The clearance ran out before the filing that it supports.",
    Code.CLEARANCE_TOO_EARLY: "The clearance was given before the last return was made.",
    Code.FILED_BEFORE_CLEARANCE: "The filing was made before the clearance that has to come first.",
    Code.DATES_OUT_OF_ORDER: "Its date does not agree with the order in which the papers have to follow.",
    Code.PERIOD_MISMATCH: "It is for another period than the last one.",
    Code.NAME_MISMATCH: "The paper on file shows another name than the company's, and is not shown.",
    Code.EIN_MISMATCH: "The paper on file shows another taxpayer number than the company's, and is not shown.",
    Code.FILE_NUMBER_MISMATCH: "The paper on file shows another file number than the company's, and is not shown.",
    Code.LATE: "It was made after the day it was due.",
    Code.WINDOW_MISSED: "It was made outside the time within which it has to follow another paper.",
    Code.LATER_YEAR: "A paper for a time after the closing is on file.",
    Code.WINDING_UP_ONLY: "The winding up began; the filing that ends the company is not on file.",
    Code.STILL_OPEN: "Nothing on file ends the registration.",
    Code.FOREIGN_OPEN: "The company ended at home, and nothing on file ends the registration here.",
    Code.CLAIMS_OPEN: "Creditors may still bring claims.",
    Code.WAITING: "The paper on file has not been confirmed yet, and is not shown.",
    Code.DESTROYED: "The paper was on file; its time of keeping is over, and it is gone.",
    Code.NO_RULES: "What has to be on file for this jurisdiction has not been established.",
}
SAYS_OF_MARK = {
    Mark.MISSING: SAYS[Code.MISSING_PAPER],
    Mark.REVIEW: SAYS[Code.WAITING],
    Mark.PROVEN: "The paper is on file, and can't be shown as it is.",
}
SAYS_UNNAMED = "What is on file does not agree throughout."
"""For a finding that speaks of a paper which no consent names: that there is one is tax-return information too."""
SAYS_OTHERWISE = "The paper on file does not agree with the rest, and is not shown."
