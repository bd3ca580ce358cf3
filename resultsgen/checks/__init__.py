"""Everything that a meet must satisfy before anything is published.

Each check is a sentence that is true of a good meet. It looks at a meet that may be wrong in any
way that its types allow: a mark of nobody, a competition without gymnasts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from resultsgen.checks.codes import CODES
from resultsgen.checks.competitions import (
    a_team_competition_has_a_team_format,
    codes_are_part_of_addresses,
    competitions_have_gymnasts,
    disciplines_and_apparatus_are_known,
    every_competition_has_its_own_id,
    squads_go_round_stations_that_exist,
    squads_that_start_are_on_the_roster,
    starters_are_on_the_roster,
    team_penalties_name_a_team,
    what_a_competition_enters_is_in_it,
)
from resultsgen.checks.corrections import (
    corrections_follow_each_other,
    corrections_have_been_made,
    what_is_gone_is_not_there,
)
from resultsgen.checks.cuts import (
    a_cut_counts_by_what_the_roster_tells,
    a_cut_fits_where_it_leads,
    a_cut_is_taken_from_a_list,
    a_cut_says_how_many_go_through,
    a_team_that_a_cut_counts_is_of_one_body,
    an_order_by_rank_has_a_qualification,
    cuts_lead_to_competitions,
    finals_are_filled_by_a_cut,
    those_in_order_are_on_the_roster,
    those_withdrawn_are_on_the_roster,
    those_withdrawn_were_to_start,
)
from resultsgen.checks.incidents import incidents_are_of_routines, incidents_can_have_cost_so_much
from resultsgen.checks.links import (
    competitions_feed_no_circle,
    linked_competitions_exist,
    links_fit_the_rules,
    marks_are_entered_where_they_are_made,
    marks_are_shared_by_routine,
)
from resultsgen.checks.marks import (
    a_mark_is_within_bounds,
    a_mark_or_a_status_is_given,
    a_mark_stands_on_the_grid,
    apparatus_belongs_to_the_competition,
    final_mark_adds_up,
    no_mark_is_above_the_highest_that_is_stated,
    no_more_than_may_go_up,
    one_mark_per_routine,
    performed_where_entered,
    second_vaults_are_vaults,
)
from resultsgen.checks.privacy import (
    one_person_is_withheld_in_all_rows,
    withheld_names_stand_in_no_text,
)
from resultsgen.checks.roster import (
    a_body_is_written_in_one_way,
    bibs_are_unique,
    entered_where_the_competition_is,
    everybody_is_in_a_competition,
    everybody_is_in_a_team,
    no_team_is_too_large,
)
from resultsgen.checks.settings import (
    a_meet_is_judged_in_seconds,
    addresses_are_web_addresses,
    dates_are_in_order,
    official_results_are_signed,
    the_logo_is_a_picture,
    the_words_for_columns_are_known,
)
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem, most

CHECKS: tuple[Callable[[Meet], Iterator[Problem]], ...] = (
    dates_are_in_order,
    official_results_are_signed,
    addresses_are_web_addresses,
    the_logo_is_a_picture,
    the_words_for_columns_are_known,
    every_competition_has_its_own_id,
    disciplines_and_apparatus_are_known,
    codes_are_part_of_addresses,
    competitions_have_gymnasts,
    linked_competitions_exist,
    competitions_feed_no_circle,
    links_fit_the_rules,
    finals_are_filled_by_a_cut,
    cuts_lead_to_competitions,
    a_cut_fits_where_it_leads,
    a_cut_is_taken_from_a_list,
    a_cut_says_how_many_go_through,
    a_cut_counts_by_what_the_roster_tells,
    a_team_that_a_cut_counts_is_of_one_body,
    those_withdrawn_are_on_the_roster,
    those_withdrawn_were_to_start,
    those_in_order_are_on_the_roster,
    a_team_competition_has_a_team_format,
    team_penalties_name_a_team,
    squads_go_round_stations_that_exist,
    squads_that_start_are_on_the_roster,
    starters_are_on_the_roster,
    what_a_competition_enters_is_in_it,
    an_order_by_rank_has_a_qualification,
    bibs_are_unique,
    a_body_is_written_in_one_way,
    a_meet_is_judged_in_seconds,
    everybody_is_in_a_competition,
    entered_where_the_competition_is,
    no_team_is_too_large,
    one_person_is_withheld_in_all_rows,
    everybody_is_in_a_team,
    withheld_names_stand_in_no_text,
    apparatus_belongs_to_the_competition,
    performed_where_entered,
    second_vaults_are_vaults,
    one_mark_per_routine,
    marks_are_entered_where_they_are_made,
    marks_are_shared_by_routine,
    a_mark_or_a_status_is_given,
    a_mark_is_within_bounds,
    a_mark_stands_on_the_grid,
    no_mark_is_above_the_highest_that_is_stated,
    final_mark_adds_up,
    no_more_than_may_go_up,
    incidents_are_of_routines,
    incidents_can_have_cost_so_much,
    corrections_follow_each_other,
    corrections_have_been_made,
    what_is_gone_is_not_there,
)

__all__ = ["CHECKS", "CODES", "checked"]


def checked(meet: Meet) -> list[Problem]:
    """What every check finds."""
    return [problem for check in CHECKS for problem in most(check(meet))]
