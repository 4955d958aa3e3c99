/**
 * The caution that stands wherever spans, speed or repetition are set. Source: Furuya, S. et al. (2006), Med Probl Perform Art 21,
 * 112–117, and Bragge, P. et al. (2006), Occup. Med. 56(1), 28–38, for how often pianists are hurt; the advice is common practice.
 */
export const CAUTION =
  "Playing can hurt: stop at any pain, warm up, take breaks. No span or tempo is safe for every hand; ask a teacher or a clinician.";
