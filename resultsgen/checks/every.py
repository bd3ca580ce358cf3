"""Everything that a meet must satisfy before anything is published.

Each check is a sentence that is true of a good meet. It looks at a meet that may be wrong in any
way that its types allow: a mark of nobody, a competition without gymnasts. What the code of a
problem means, and the mend, is in README.md beside this.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from resultsgen.checks import (
    competitions,
    corrections,
    cuts,
    links,
    marks,
    privacy,
    roster,
    settings,
)
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem, most

CHECKS: tuple[Callable[[Meet], Iterator[Problem]], ...] = (
    settings.dates_are_in_order,
    settings.official_results_are_signed,
    settings.addresses_are_web_addresses,
    settings.frames_lead_somewhere,
    settings.the_screen_shows_competitions_that_there_are,
    settings.texts_are_in_languages_of_the_meet,
    settings.texts_are_of_the_meet,
    settings.what_is_called_otherwise_is_so_in_every_language,
    settings.the_logo_is_a_picture,
    settings.equals_stand_in_an_order_that_is_seen,
    settings.the_words_for_columns_are_known,
    settings.the_tables_are_sources,
    competitions.every_competition_has_its_own_id,
    competitions.competitions_take_place_while_the_meet_does,
    competitions.disciplines_and_apparatus_are_known,
    competitions.codes_are_part_of_addresses,
    competitions.competitions_have_gymnasts,
    links.linked_competitions_exist,
    links.competitions_feed_no_circle,
    links.links_fit_the_rules,
    cuts.each_cut_of_a_list_has_its_own_name,
    cuts.finals_are_filled_by_a_cut,
    cuts.cuts_lead_to_competitions,
    cuts.a_cut_fits_where_it_leads,
    cuts.a_cut_is_taken_from_a_list,
    cuts.a_cut_says_how_many_go_through,
    cuts.a_cut_counts_by_what_the_roster_tells,
    cuts.a_team_that_a_cut_counts_is_of_one_body,
    cuts.those_withdrawn_are_known,
    cuts.those_withdrawn_were_to_start,
    cuts.teams_in_order_are_on_the_roster,
    competitions.a_team_competition_has_a_team_format,
    competitions.team_penalties_name_a_team,
    competitions.squads_go_round_stations_that_exist,
    competitions.squads_that_start_are_on_the_roster,
    competitions.those_named_are_on_the_roster,
    competitions.what_a_competition_enters_is_in_it,
    cuts.an_order_by_rank_has_a_qualification,
    roster.bibs_are_unique,
    roster.nobody_has_two_rows_of_a_competition,
    roster.a_body_is_written_in_one_way,
    settings.a_meet_is_judged_in_seconds,
    roster.everybody_is_in_a_competition,
    roster.entered_where_the_competition_is,
    roster.no_team_is_too_large,
    privacy.one_person_is_withheld_in_all_rows,
    roster.everybody_is_in_a_team,
    privacy.withheld_names_stand_in_no_text,
    marks.apparatus_belongs_to_the_competition,
    marks.performed_where_entered,
    marks.second_vaults_are_vaults,
    marks.one_mark_per_routine,
    links.marks_are_entered_where_they_are_made,
    links.marks_are_shared_by_routine,
    marks.a_mark_or_a_status_is_given,
    marks.a_mark_is_within_bounds,
    marks.a_mark_stands_on_the_grid,
    marks.no_mark_is_above_the_highest_that_is_stated,
    marks.final_mark_adds_up,
    marks.no_more_than_may_go_up,
    corrections.incidents_are_of_routines,
    corrections.incidents_can_have_cost_so_much,
    corrections.corrections_follow_each_other,
    corrections.corrections_have_been_made,
    corrections.what_is_gone_is_not_there,
)


def checked(meet: Meet) -> list[Problem]:
    """What every check finds."""
    return [problem for check in CHECKS for problem in most(check(meet))]
