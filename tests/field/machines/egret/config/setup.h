#pragma once
/* Egret duo
   newer spelling */
#define MACHINE_VERSION 02010205
#ifndef MOTHERBOARD
  #define MOTHERBOARD BOARD_EGRET_V2
#endif
#define EXTRUDERS 2
//#define SILICONE_MAT
#define X_DRIVER_TYPE TMC2209
#define E0_DRIVER_TYPE TMC2209
#define E1_DRIVER_TYPE TMC2209
// @section temperature
#define TEMP_SENSOR_0 1000   /* own table */
#define TEMP_SENSOR_1 1010
#define TEMP_SENSOR_2 0
#if ENABLED(SILICONE_MAT)
  #define TEMP_SENSOR_BED 5
#elif 1
  #define TEMP_SENSOR_BED 13
#else
  #define TEMP_SENSOR_BED 1
#endif
#define TEMP_SENSOR_PROBE 0
#define TEMP_SENSOR_CHAMBER 0
#define HEATER_0_MINTEMP   5
#define HEATER_1_MINTEMP   (2 + 3)
#define BED_MINTEMP        5
#define HOTEND_OVERSHOOT 15
#define BED_OVERSHOOT    10
#define MY_MAX           295
#define HEATER_0_MAXTEMP MY_MAX
#define HEATER_1_MAXTEMP (MY_MAX - 10)
#define BED_MAXTEMP      (BED_OVERSHOOT + 120)
//#define PIDTEMP
#define MPCTEMP
#define PID_MAX  255
#if ENABLED(MPCTEMP)
  #define MPC_MAX 255
  #define MPC_HEATER_POWER { 40.0f, 40.0f }
  #define MPC_BLOCK_HEAT_CAPACITY { 12.0f, 12.0f }
#endif
#define PIDTEMPBED
#define MAX_BED_POWER 0xFF
#define PREVENT_COLD_EXTRUSION
#define EXTRUDE_MINTEMP 170
#define THERMAL_PROTECTION_HOTENDS true
#define THERMAL_PROTECTION_BED
// @section endstops
#define ENDSTOPPULLUPS
#define X_MIN_ENDSTOP_HIT_STATE HIGH
#define Y_MIN_ENDSTOP_HIT_STATE HIGH
#define Z_MIN_ENDSTOP_HIT_STATE LOW
#define Z_MIN_PROBE_ENDSTOP_HIT_STATE HIGH
#undef ENDSTOPPULLUPS
#define ENDSTOPPULLUP_XMIN
#define ENDSTOPPULLUP_ZMIN
//#define ENDSTOPPULLUP_ZMIN_PROBE
// @section probes
//#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN
//#define USE_PROBE_FOR_Z_HOMING
#define Z_MIN_PROBE_PIN PE4 // probe on its own plug
#define FIX_MOUNTED_PROBE
#define X_HOME_DIR -1
#define Y_HOME_DIR -1
#define Z_HOME_DIR -1
#define NUM_SERVOS 0
//#define FILAMENT_RUNOUT_SENSOR
#include "adv/setup_adv.h"
